package jobs

var positionFields = []FieldSpec{
	{Name: "depth", Label: "Centre of the fitting below the tile line", Quantity: QuantityLength, Unit: "in", Min: 1 * in, Max: 15 * ft, Need: NeedEstimate},
	{Name: "fitting_size", Label: "Height of the fitting's face", Quantity: QuantityLength, Unit: "in", Min: 10 * mm, Max: 24 * in, Hint: "Its lower edge sets how far the water must fall."},
	{Name: "fitting_thread", Label: "Thread or joint of the wall fitting", Quantity: QuantityChoice, Choices: []string{"threaded_1", "threaded_1_1/2", "glued_1_1/2", "glued_2", "other"}, Need: NeedEstimate},
	{Name: "fitting_inside", Label: "Inside width of the wall fitting", Quantity: QuantityLength, Unit: "in", Min: 5 * mm, Max: 12 * in, Need: NeedEstimate},
	{Name: "elbow_depth", Label: "Depth from the face to the elbow", Quantity: QuantityLength, Unit: "in", Min: 1 * mm, Max: 6 * ft, Need: NeedEstimate, Hint: "The body of the new light must fit in front of the elbow."},
	{Name: "now", Label: "What is there now", Quantity: QuantityChoice, Choices: []string{"fibre_lens", "broken_lens", "plugged", "other"}},
	{Name: "zone", Label: "Zone wished for", Quantity: QuantityCount, Min: 1, Max: 8, Hint: "Lights of one zone are switched and coloured together."},
	{Name: "place", Label: "Place on the plan", Quantity: QuantityPoints, Min: 1, Max: 1},
	{Name: "watts", Label: "Watts of the new light, if another than usual", Quantity: QuantityPower, Min: 1_000, Max: 500_000},
	{Name: "note", Label: "Note", Quantity: QuantityText},
}

// Tug results that estimate looks at by name.
const (
	TugMoves     = "moves"
	TugMovesHard = "moves_hard"
	TugStuck     = "stuck"
	TugBroken    = "broken"
)

// TradeSizes of conduit, inch designators as in the code tables.
var TradeSizes = []string{"1/2", "3/4", "1", "1-1/4", "1-1/2", "2"}

var conduitFields = []FieldSpec{
	{Name: "length", Label: "Length along the conduit", Quantity: QuantityLength, Min: 1 * ft, Max: 1000 * ft, Need: NeedEstimate, Hint: "Measured by a pull line or the fibre's own marks; a paced distance is only told."},
	{Name: "material", Label: "Material", Quantity: QuantityChoice, Choices: []string{"pvc_40", "pvc_80", "hdpe", "rmc", "imc", "lfnc", "emt", "ent", "soft_hose"}},
	{Name: "size_supply", Label: "Size at the supply", Quantity: QuantityChoice, Choices: TradeSizes, Need: NeedEstimate},
	{Name: "size_water", Label: "Size at the water", Quantity: QuantityChoice, Choices: TradeSizes, Need: NeedEstimate},
	{Name: "bends", Label: "Bends", Quantity: QuantityCount, Min: 0, Max: 40},
	{Name: "bend_total", Label: "All bends together", Quantity: QuantityAngle, Min: 0, Max: 3_600_000, Hint: "The code allows 360° between pull points."},
	{Name: "run", Label: "Straights and bends in order", Quantity: QuantityRun, Hint: "From the water to the supply: 40 ft; 90; 30 ft up 5; 45 r 6 in; 20 ft. Bends in degrees, r for their radius."},
	{Name: "path", Label: "Way on the plan", Quantity: QuantityPoints, Min: 2, Max: 400, Hint: "From the water to the supply, as drawn; what lies between the dots is taken as straight."},
	{Name: "shared", Label: "Shared by several lights", Quantity: QuantityBool},
	{Name: "tee", Label: "Hidden tee suspected", Quantity: QuantityBool},
	{Name: "water_found", Label: "Water found inside", Quantity: QuantityBool},
	{Name: "years", Label: "Years the bundle has lain there", Quantity: QuantityCount, Min: 0, Max: 80},
	{Name: "jumper", Label: "A bonding jumper lies inside", Quantity: QuantityBool, Hint: "8 AWG copper to a metal shell; it stays and takes its part of the conduit."},
	{Name: "tug", Label: "Tug test of the bundle", Quantity: QuantityChoice, Choices: []string{TugMoves, TugMovesHard, TugStuck, TugBroken}, Need: NeedEstimate, Hint: "Pull gently at both ends; never cut both ends before the cord is tied on."},
	{Name: "pull_line", Label: "Pull line inside", Quantity: QuantityBool},
	{Name: "note", Label: "Note", Quantity: QuantityText},
}

var supplyFields = []FieldSpec{
	{Name: "distance", Label: "Distance from the water", Quantity: QuantityLength, Min: 0, Max: 1000 * ft, Need: NeedEstimate},
	{Name: "height_deck", Label: "Height above the deck", Quantity: QuantityLength, Unit: "in", Min: -10 * ft, Max: 30 * ft, Need: NeedEstimate},
	{Name: "height_water", Label: "Height above the highest water", Quantity: QuantityLength, Unit: "in", Min: -30 * ft, Max: 60 * ft, Need: NeedEstimate},
	{Name: "base", Label: "Base", Quantity: QuantityChoice, Choices: []string{"dry", "wet", "none"}, Need: NeedVisit},
	{Name: "circuit_breaker", Label: "Breaker of the circuit", Quantity: QuantityCurrent, Min: 1_000, Max: 200_000, Need: NeedEstimate},
	{Name: "circuit_voltage", Label: "Nominal voltage of the circuit", Quantity: QuantityVoltage, Min: 12_000, Max: 480_000, Need: NeedEstimate},
	{Name: "circuit_other", Label: "Other load on the circuit", Quantity: QuantityCurrent, Min: 0, Max: 200_000, Need: NeedEstimate},
	{Name: "circuit_other_long", Label: "That load burns three hours and more", Quantity: QuantityBool, Hint: "Then it counts 125 % on the breaker, as the lights do."},
	{Name: "circuit_what", Label: "What else is on the circuit", Quantity: QuantityText},
	{Name: "voltage_box", Label: "Voltage measured at the box", Quantity: QuantityVoltage, Min: 0, Max: 480_000, Need: NeedVisit},
	{Name: "switched", Label: "How it is switched", Quantity: QuantityChoice, Choices: []string{"timer", "relay", "wall", "plug", "always_on"}},
	{Name: "protection", Label: "Ground-fault protection", Quantity: QuantityChoice, Choices: []string{"breaker", "outlet", "none"}, Need: NeedEstimate},
	{Name: "protection_where", Label: "Where the protection is", Quantity: QuantityText},
	{Name: "bonding", Label: "Bonding seen", Quantity: QuantityBool},
	{Name: "pump_outlet", Label: "Outlet for our pump", Quantity: QuantityBool, Need: NeedVisit},
	{Name: "outlet_distance", Label: "Distance to that outlet", Quantity: QuantityLength, Min: 0, Max: 1000 * ft},
	{Name: "outlet_water", Label: "That outlet's distance from the water", Quantity: QuantityLength, Min: 0, Max: 1000 * ft, Hint: "Along the shortest way that a cord can take."},
	{Name: "outlet_protected", Label: "Ground-fault protection on that outlet", Quantity: QuantityBool},
	{Name: "barrier", Label: "Solid wall or barrier between supply and water", Quantity: QuantityBool},
	{Name: "walkway", Label: "In a walkway", Quantity: QuantityChoice, Choices: []string{"no", "protected", "unprotected"}},
	{Name: "box", Label: "Junction box on the way to the water", Quantity: QuantityChoice, Choices: []string{"none", "raised", "flush_potted", "flush"}},
	{Name: "box_distance", Label: "Box's distance from the pool wall", Quantity: QuantityLength, Min: 0, Max: 1000 * ft},
	{Name: "box_deck", Label: "Bottom of the box inside, above the deck", Quantity: QuantityLength, Unit: "in", Min: -10 * ft, Max: 30 * ft},
	{Name: "box_water", Label: "Bottom of the box inside, above the highest water", Quantity: QuantityLength, Unit: "in", Min: -30 * ft, Max: 60 * ft},
	{Name: "conduits_in", Label: "Conduits that come into the supply", Quantity: QuantityCount, Min: 0, Max: 200},
	{Name: "terminals", Label: "Grounding terminals in the supply", Quantity: QuantityCount, Min: 0, Max: 200},
	{Name: "strain_relief", Label: "Strain relief for the cords", Quantity: QuantityBool},
	{Name: "flex_longest", Label: "Longest piece of flexible metal conduit to the supply", Quantity: QuantityLength, Min: 0, Max: 1000 * ft},
	{Name: "flex_all", Label: "Flexible metal conduit to the supply in all", Quantity: QuantityLength, Min: 0, Max: 1000 * ft},
	{Name: "others_in_conduit", Label: "Other wires in the lights' conduits", Quantity: QuantityBool},
	{Name: "breaker_place", Label: "Where the breaker is", Quantity: QuantityText, Need: NeedVisit},
	{Name: "place", Label: "Place on the plan", Quantity: QuantityPoints, Min: 1, Max: 1},
	{Name: "cord_fixed", Label: "Extra cord to the supply's terminals", Quantity: QuantityLength, Min: 0, Max: 50 * ft},
	{Name: "note", Label: "Note", Quantity: QuantityText},
}

var illuminatorFields = []FieldSpec{
	{Name: "lamp", Label: "Lamp", Quantity: QuantityChoice, Choices: []string{"halide", "halogen", "led"}},
	{Name: "watts", Label: "Watts of the lamp", Quantity: QuantityPower, Min: 1_000, Max: 2_000_000},
	{Name: "input_watts", Label: "Watts on the nameplate (input)", Quantity: QuantityPower, Min: 1_000, Max: 3_000_000},
	{Name: "count", Label: "How many", Quantity: QuantityCount, Min: 0, Max: 50},
	{Name: "colour_wheel", Label: "Colour wheel", Quantity: QuantityBool},
	{Name: "hours_night", Label: "Time lit a night", Quantity: QuantityDuration, Min: 0, Max: 86_400},
	{Name: "nights_year", Label: "Nights lit a year", Quantity: QuantityCount, Min: 0, Max: 366},
	{Name: "note", Label: "Note", Quantity: QuantityText},
}
