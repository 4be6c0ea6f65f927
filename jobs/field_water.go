package jobs

var siteFields = []FieldSpec{
	{Name: "soil_opened", Label: "Soil will be opened", Quantity: QuantityBool, Need: NeedVisit, Hint: "A new base or a trench needs the buried lines marked first."},
	{Name: "rain_season", Label: "Work falls into the rain season", Quantity: QuantityBool},
	{Name: "fenced", Label: "Pool fenced or can be closed off", Quantity: QuantityBool, Need: NeedVisit, Hint: "A partly empty pool is a drop that people and pets can fall into."},
	{Name: "pets", Label: "Pets on site", Quantity: QuantityBool},
	{Name: "parking", Label: "Where the truck may stand", Quantity: QuantityText},
	{Name: "quiet_hours", Label: "Hours without pump noise", Quantity: QuantityText},
	{Name: "note", Label: "Note", Quantity: QuantityText},
}

// Choices that estimate looks at by name.
const (
	ShapeRectangle = "rectangle"
	ShapeRound     = "round"
	ShapeOval      = "oval"
	ShapeKidney    = "kidney"
	ShapeFreeForm  = "free_form"
	ShapeDrawn     = "drawn" // its outline is drawn on the plan
	ShapeArea      = "area"  // the area itself is known, from a drawing or an earlier job

	FinishVinyl      = "vinyl"
	FinishFibreglass = "fibreglass"

	LowByCrewPump = "crew_pump"
	LowByOutlet   = "pool_outlet"
	LowByCustomer = "customer"
	LowOnArrival  = "on_arrival"
	LowByOthers   = "by_others"

	UseSpillOver = "spill_over"

	StopsByNothing = "nothing"

	RefillTruck = "tank_truck"
)

var bodyFields = []FieldSpec{
	{Name: "use", Label: "What it is", Quantity: QuantityChoice, Choices: []string{"pool", "raised_spa", UseSpillOver, "water_feature"}, Hint: "A raised spa keeps its water when the pool is lowered; a spill-over at the same level falls with it."},
	{Name: "shape", Label: "Shape", Quantity: QuantityChoice, Choices: []string{ShapeRectangle, ShapeRound, ShapeOval, ShapeKidney, ShapeFreeForm, ShapeDrawn, ShapeArea}, Need: NeedEstimate, Hint: "Free form: widths across the pool at even steps along it."},
	{Name: "length", Label: "Length", Quantity: QuantityLength, Min: 1 * ft, Max: 500 * ft, Need: NeedEstimate},
	{Name: "width", Label: "Width", Quantity: QuantityLength, Min: 1 * ft, Max: 300 * ft, Need: NeedEstimate},
	{Name: "width_2", Label: "Second width (kidney)", Quantity: QuantityLength, Min: 1 * ft, Max: 300 * ft, Need: NeedEstimate},
	{Name: "diameter", Label: "Diameter", Quantity: QuantityLength, Min: 1 * ft, Max: 300 * ft, Need: NeedEstimate},
	{Name: "widths", Label: "Widths at even steps", Quantity: QuantityLengths, Min: 3, Max: 101, Need: NeedEstimate, Hint: "From one end to the other, 0 where the shape starts in a point."},
	{Name: "width_step", Label: "Step between the widths", Quantity: QuantityLength, Min: 1 * ft, Max: 50 * ft, Need: NeedEstimate},
	{Name: "outline", Label: "Outline on the plan", Quantity: QuantityPoints, Min: 3, Max: 400, Need: NeedEstimate, Hint: "Dots round the water's edge in order; the last joins the first."},
	{Name: "area", Label: "Area of the water", Quantity: QuantityArea, Min: 92_903, Max: 10_000_000_000, Need: NeedEstimate},
	{Name: "depth_shallow", Label: "Depth at the shallow end", Quantity: QuantityLength, Min: 1 * in, Max: 20 * ft},
	{Name: "depth_deep", Label: "Depth at the deep end", Quantity: QuantityLength, Min: 1 * in, Max: 30 * ft},
	{Name: "shell_thickness", Label: "Thickness of walls and floor", Quantity: QuantityLength, Unit: "in", Min: 5 * mm, Max: 3 * ft, Hint: "Of a concrete shell: from the drawing, with the depths, it tells whether ground water could lift it."},
	{Name: "finish", Label: "Finish", Quantity: QuantityChoice, Choices: []string{"plaster", "aggregate", "tile", "paint", FinishVinyl, FinishFibreglass, "stainless"}, Need: NeedEstimate, Hint: "Vinyl and fibreglass need a sign-off before they are lowered."},
	{Name: "finish_age", Label: "Age of the finish in years", Quantity: QuantityCount, Min: 0, Max: 100},
	{Name: "level", Label: "Water now, below the tile line", Quantity: QuantityLength, Unit: "in", Min: -12 * in, Max: 20 * ft, Hint: "0 at the tile line; above it is negative."},
	{Name: "ground_water", Label: "Ground water below the deck", Quantity: QuantityLength, Min: 0, Max: 300 * ft, Need: NeedEstimate, Hint: "High ground water can lift a lowered shell."},
	{Name: "relief_valve", Label: "Relief valve in the floor", Quantity: QuantityBool},
	{Name: "salt", Label: "Salt water", Quantity: QuantityBool, Need: NeedEstimate},
	{Name: "chlorine", Label: "Free chlorine", Quantity: QuantityConcentration, Min: 0, Max: 50_000},
	{Name: "ph", Label: "pH", Quantity: QuantityPH, Min: 1, Max: 14_000},
	{Name: "becomes_low", Label: "How it becomes low", Quantity: QuantityChoice, Choices: []string{LowByCrewPump, LowByOutlet, LowByCustomer, LowOnArrival, LowByOthers}, Need: NeedEstimate},
	{Name: "lowers_with", Label: "Lowers together with the body it hangs on", Quantity: QuantityBool, Hint: "A spa that spills into its pool usually does not."},
	{Name: "spill_edge", Label: "Edge it spills over, below the tile line", Quantity: QuantityLength, Unit: "in", Min: 0, Max: 20 * ft, Hint: "Below this edge the two no longer share their water."},
	{Name: "stops_by", Label: "What stops the drain at its level", Quantity: QuantityChoice, Choices: []string{"intake_at_level", "float_switch", "timer", "watched", StopsByNothing}, Hint: "A drain that nobody watches must stop by itself."},
	{Name: "read_rate", Label: "Pumping rate read on site", Quantity: QuantityFlow, Min: 100, Max: 4_000_000, Hint: "Inches the level falls in an hour, turned into a flow, or read at a meter."},
	{Name: "outlet_rate", Label: "Rate of the pool's own outlet", Quantity: QuantityFlow, Min: 100, Max: 4_000_000},
	{Name: "filler", Label: "Automatic filler", Quantity: QuantityBool, Need: NeedVisit, Hint: "It must be closed before the water is lowered."},
	{Name: "filler_valve", Label: "Where the filler's valve is", Quantity: QuantityText},
	{Name: "lights", Label: "Lights", Quantity: QuantityCount, Min: 0, Max: 200},
	{Name: "note", Label: "Note", Quantity: QuantityText},
}

var equipmentFields = []FieldSpec{
	{Name: "pump_control", Label: "How the pump is switched", Quantity: QuantityChoice, Choices: []string{"timer", "controller", "wall", "breaker_only"}, Need: NeedVisit},
	{Name: "freeze_protection", Label: "Freeze protection starts the pump", Quantity: QuantityBool, Need: NeedVisit},
	{Name: "heater", Label: "Heater", Quantity: QuantityChoice, Choices: []string{"none", "gas", "heat_pump", "solar", "electric"}, Need: NeedVisit},
	{Name: "cell", Label: "Chlorine cell", Quantity: QuantityBool},
	{Name: "main_drain", Label: "Can run on the main drain alone", Quantity: QuantityBool},
	{Name: "valves", Label: "Valves as found", Quantity: QuantityText, Need: NeedVisit},
	{Name: "note", Label: "Note", Quantity: QuantityText},
}

// Choices of where the water goes that estimate looks at by name.
const (
	DischargeCleanout  = "sewer_cleanout"
	DischargeLandscape = "landscape"
	DischargeStreet    = "street"
)

var dischargeFields = []FieldSpec{
	{Name: "where", Label: "Where the water goes", Quantity: QuantityChoice, Choices: []string{DischargeCleanout, DischargeLandscape, DischargeStreet, "dry_well", "tank_truck"}, Need: NeedEstimate},
	{Name: "found", Label: "Found on site", Quantity: QuantityBool, Need: NeedVisit},
	{Name: "reachable", Label: "Reachable with our hose", Quantity: QuantityBool, Need: NeedVisit},
	{Name: "rate_limit", Label: "Highest rate allowed", Quantity: QuantityFlow, Unit: "gpm", Min: 100, Max: 4_000_000, Need: NeedEstimate, Hint: "The rate allowed, not the pump, usually sets how long the drain takes."},
	{Name: "permission", Label: "Permission", Quantity: QuantityChoice, Choices: []string{"not_needed", "asked", "granted", "refused"}, Need: NeedVisit},
	{Name: "hold", Label: "Days without chlorine before pumping", Quantity: QuantityDuration, Unit: "d", Min: 0, Max: 30 * 86_400},
	{Name: "neutraliser", Label: "Neutraliser allowed instead of waiting", Quantity: QuantityBool},
	{Name: "chlorine_limit", Label: "Highest chlorine allowed", Quantity: QuantityConcentration, Min: 0, Max: 10_000},
	{Name: "ph_low", Label: "Lowest pH allowed", Quantity: QuantityPH, Min: 1, Max: 14_000},
	{Name: "ph_high", Label: "Highest pH allowed", Quantity: QuantityPH, Min: 1, Max: 14_000},
	{Name: "rise", Label: "Rise from the water to the outlet", Quantity: QuantityLength, Min: -30 * ft, Max: 60 * ft, Hint: "Negative when the outlet lies lower than the water."},
	{Name: "hose_length", Label: "Discharge hose length", Quantity: QuantityLength, Min: 1 * ft, Max: 1000 * ft},
	{Name: "hose_inside", Label: "Discharge hose inside width", Quantity: QuantityLength, Unit: "in", Min: 5 * mm, Max: 12 * in},
	{Name: "place", Label: "Place on the plan", Quantity: QuantityPoints, Min: 1, Max: 1},
	{Name: "note", Label: "Note", Quantity: QuantityText},
}

var refillFields = []FieldSpec{
	{Name: "source", Label: "Where the water comes from", Quantity: QuantityChoice, Choices: []string{"hose", "filler", RefillTruck, "well"}, Need: NeedEstimate},
	{Name: "flow", Label: "Flow measured or stated", Quantity: QuantityFlow, Unit: "gpm", Min: 100, Max: 4_000_000, Need: NeedEstimate, Hint: "Time a 5-gallon bucket: 30 seconds is 10 gpm."},
	{Name: "truck_load", Label: "Water in one truck load", Quantity: QuantityVolume, Min: 100_000, Max: 60_000_000, Need: NeedEstimate},
	{Name: "truck_every", Label: "Time from one load to the next", Quantity: QuantityDuration, Unit: "min", Min: 60, Max: 7 * 86_400, Need: NeedEstimate},
	{Name: "pressure", Label: "Pressure at the tap", Quantity: QuantityPressure, Min: 1_000, Max: 1_500_000},
	{Name: "hose_length", Label: "Hose length", Quantity: QuantityLength, Min: 1 * ft, Max: 1000 * ft},
	{Name: "hose_inside", Label: "Hose inside width", Quantity: QuantityLength, Unit: "in", Min: 5 * mm, Max: 6 * in},
	{Name: "opens", Label: "Who opens it", Quantity: QuantityChoice, Choices: []string{"customer", "pool_care", "crew"}, Need: NeedVisit},
	{Name: "closes", Label: "Who closes it", Quantity: QuantityChoice, Choices: []string{"customer", "pool_care", "crew"}, Need: NeedVisit},
	{Name: "stops_itself", Label: "Stops by itself when full", Quantity: QuantityBool},
	{Name: "place", Label: "Place on the plan", Quantity: QuantityPoints, Min: 1, Max: 1},
	{Name: "note", Label: "Note", Quantity: QuantityText},
}
