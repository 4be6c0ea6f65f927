-- The steps of a visit as data: what is asked at the pool, in order, and which
-- are gates. Limits are whole base units of the step's unit (inches: whole
-- micrometres; ppm: micrograms per litre; pH: thousandths; volts: millivolts).
-- Figures of a fitted light or supply come from its own sheet, not from here.
-- +goose Up
INSERT INTO field_steps (id, visit_kind, place, name, caution, gate, needs, unit, low_limit, high_limit, source) VALUES
 ('survey-photos', 'survey', 1, 'Photograph each light, the supply place and the equipment pad', '', FALSE, 'photo', '', NULL, NULL, 'common practice, no source'),
 ('survey-tug', 'survey', 2, 'Tug each bundle at the illuminator end: moves, stuck or broken', 'Illuminator off and unplugged before a hand goes in.', FALSE, 'text', '', NULL, NULL, 'common practice, no source'),
 ('survey-voltage', 'survey', 3, 'Voltage found at the supply place', 'Licensed person only where a cover must come off.', FALSE, 'reading', 'V', 0, 600000, 'common practice, no source'),
 ('prepare-ticket', 'prepare', 1, 'Marks on the ground match the ticket, private lines too', 'Do not open soil before the lawful start or after the ticket ends.', TRUE, 'tick', '', NULL, NULL, 'state one-call rules'),
 ('prepare-base', 'prepare', 2, 'Supply base set, drain holes clear', '', FALSE, 'tick', '', NULL, NULL, 'common practice, no source'),
 ('circuit-off', 'circuit', 1, 'Breaker off, locked and tagged', 'Licensed person. Follow the local code.', TRUE, 'tick', '', NULL, NULL, '29 CFR 1910.333(b)(2), 29 CFR 1926.417'),
 ('circuit-dead', 'circuit', 2, 'Verified dead with a meter: reading', 'Test the meter on a live source before and after.', TRUE, 'reading', 'V', 0, 1000, '29 CFR 1910.333(b)(2)(iv)'),
 ('circuit-trip', 'circuit', 3, 'Trip test of the protection after the work', 'If there is no such device, say so.', TRUE, 'choice', '', NULL, NULL, 'common practice, no source'),
 ('drain-off', 'drain', 1, 'Circulation pump, heater and cell off and tagged; automatic filler closed', 'A running pump without water burns; an open filler undoes the drain.', TRUE, 'tick', '', NULL, NULL, '29 CFR 1926.417'),
 ('drain-photo', 'drain', 2, 'Photograph equipment and water line before pumping', '', FALSE, 'photo', '', NULL, NULL, 'common practice, no source'),
 ('drain-chlorine', 'drain', 3, 'Free chlorine of the water to be discharged', 'The local agency''s limit governs; many ask 0.1 ppm or less.', TRUE, 'reading', 'ppm', 0, 100, 'published agency discharge rules, see the site''s own'),
 ('drain-ph', 'drain', 4, 'pH of the water to be discharged', 'The local agency''s limit governs; many ask 6.5 to 8.5.', TRUE, 'reading', 'pH', 6500, 8500, 'published agency discharge rules, see the site''s own'),
 ('drain-outlet', 'drain', 5, 'Discharge hose reaches the permitted outlet and is tied', 'Never onto a neighbour''s ground or a street where it is not allowed.', TRUE, 'tick', '', NULL, NULL, 'common practice, no source'),
 ('drain-stop', 'drain', 6, 'How the unattended pump stops: intake depth, float or timer', 'Do not empty below the planned level: an empty shell can float, crack or wrinkle.', TRUE, 'text', '', NULL, NULL, 'common practice, no source'),
 ('convert-level', 'convert', 1, 'Water stands below the lowest fitting: inches below the tile line', 'Do not pump below the planned level.', TRUE, 'reading', 'in', 0, 3048000, 'common practice, no source'),
 ('convert-off', 'convert', 2, 'Breaker of the light circuit off, locked and tagged', 'Electrical work by a licensed person.', TRUE, 'tick', '', NULL, NULL, '29 CFR 1910.333(b)(2), 29 CFR 1926.417'),
 ('convert-dead', 'convert', 3, 'Verified dead with a meter before the box opens: reading', 'Test the meter on a live source before and after.', TRUE, 'reading', 'V', 0, 1000, '29 CFR 1910.333(b)(2)(iv)'),
 ('convert-measure', 'convert', 4, 'Measured dry at each light: go or no-go', 'Decide before the bundle is touched: a cord too short means a new order.', TRUE, 'choice', '', NULL, NULL, 'common practice, no source'),
 ('convert-pull', 'convert', 5, 'New cord tied to the old bundle and pulled', 'Never cut the bundle at both ends before the new cord is tied on.', FALSE, 'tick', '', NULL, NULL, 'common practice, no source'),
 ('convert-seal', 'convert', 6, 'Conduit sealed at the wall fitting and at the supply', 'No splice under water or in the conduit.', TRUE, 'tick', '', NULL, NULL, 'NEC 680.24(B)(1), 2017 text'),
 ('convert-dry', 'convert', 7, 'Lights have not been run dry', 'Lights that rely on water must stay off until they are covered.', TRUE, 'tick', '', NULL, NULL, 'NEC 680.23(A)(7), 2017 text'),
 ('connect-off', 'connect', 1, 'Breaker off, locked and tagged', 'Licensed person. Follow the local code.', TRUE, 'tick', '', NULL, NULL, '29 CFR 1910.333(b)(2)'),
 ('connect-dead', 'connect', 2, 'Verified dead with a meter: reading', 'Test the meter on a live source before and after.', TRUE, 'reading', 'V', 0, 1000, '29 CFR 1910.333(b)(2)(iv)'),
 ('connect-zones', 'connect', 3, 'Zone cords marked at both ends, no output above its rating', '', FALSE, 'tick', '', NULL, NULL, 'common practice, no source'),
 ('connect-trip', 'connect', 4, 'Trip test of the protection after the work', 'If there is no such device, say so.', TRUE, 'choice', '', NULL, NULL, 'common practice, no source'),
 ('inspect-result', 'inspect', 1, 'Inspector''s name and finding', 'The authority having jurisdiction decides.', TRUE, 'text', '', NULL, NULL, 'common practice, no source'),
 ('commission-covered', 'commission', 1, 'Water covers every light; fill closed', 'Lights stay off until covered.', TRUE, 'tick', '', NULL, NULL, 'NEC 680.23(A)(7), 2017 text'),
 ('commission-volts', 'commission', 2, 'Voltage at the supply with all lights on', '', FALSE, 'reading', 'V', 9000, 15000, 'low-voltage contact limit 15 V, NEC 680.2, 2017 text'),
 ('commission-test', 'commission', 3, 'Every light tested under water, each zone', '', TRUE, 'tick', '', NULL, NULL, 'common practice, no source'),
 ('commission-equipment', 'commission', 4, 'Pump, heater, cell, timer and filler restored as found', 'Prime before the pump starts.', TRUE, 'tick', '', NULL, NULL, 'common practice, no source'),
 ('commission-shown', 'commission', 5, 'Customer shown how to use the lights', '', FALSE, 'tick', '', NULL, NULL, 'common practice, no source'),
 ('collect-pump', 'collect', 1, 'Pump and hoses on the truck', 'Unplug before lifting the pump.', TRUE, 'tick', '', NULL, NULL, 'common practice, no source'),
 ('call_back-cause', 'call_back', 1, 'Cause found', '', TRUE, 'text', '', NULL, NULL, 'common practice, no source');
