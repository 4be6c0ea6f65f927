// The rates and rules that an owner says aloud, with the form in which each is kept (jobs.PlanningSettings).

export type Form = 'money' | 'number' | 'permille' | 'clock' | 'yes'
export interface Rate {
  key: string
  label: string
  form: Form
  unit?: string
}
export interface Group {
  name: string
  rates: Rate[]
}

const money = (key: string, label: string): Rate => ({ key, label, form: 'money' })
const number = (key: string, label: string, unit: string): Rate => ({ key, label, form: 'number', unit })
const permille = (key: string, label: string): Rate => ({ key, label, form: 'permille', unit: '%' })

export const groups: Group[] = [
  {
    name: 'Crews',
    rates: [
      money('pay_cents_per_hour', 'An hour of a crew'),
      money('overtime_cents_per_hour', 'An hour of its overtime'),
      money('driving_cents_per_km', 'A kilometre driven'),
      number('speed_km_per_hour', 'Speed without a road file', 'km/h'),
      permille('road_factor_permille', 'Road against straight line'),
      number('parking_seconds', 'Finding and parking, by road', 's'),
      { key: 'daylight_only', label: 'Work only between dawn and dusk', form: 'yes' },
      number('lunch_minutes', 'Lunch', 'min'),
      { key: 'lunch_from_minute', label: 'Lunch begins from', form: 'clock' },
      { key: 'lunch_to_minute', label: 'Lunch begins by', form: 'clock' },
      number('lunch_after_minutes', 'Lunch is due on days longer than', 'min'),
      { key: 'lunch_paid', label: 'Lunch is paid', form: 'yes' },
    ],
  },
  {
    name: 'What waits, moves or is late',
    rates: [
      permille('waiting_permille_per_day', 'A day that a job waits, of its value'),
      money('late_cents_per_day', 'A day past a job’s due day'),
      permille('left_out_permille_per_week', 'A week that a job is left out, of its value'),
      money('promise_cents', 'A promise broken or moved'),
      money('told_anew_cents', 'A crew told anew'),
      number('told_anew_minutes', 'Told anew when a start moves by more than', 'min'),
      money('owed_cents', 'A commission owed'),
    ],
  },
  {
    name: 'Water',
    rates: [
      number('low_free_hours', 'A pool may lie low free for', 'h'),
      money('low_cents_per_hour', 'Each hour beyond'),
      number('low_days', 'It may stay low for', 'days'),
      number('commission_in_days', 'Commission within', 'days'),
      number('notice_lead_hours', 'The customer is told to drain so long before', 'h'),
      number('told_width_minutes', 'Told as an interval of', 'min'),
    ],
  },
  {
    name: 'Promises and caution',
    rates: [
      number('window_minutes', 'A promised window is wide', 'min'),
      permille('quantile_permille', 'Times are planned so that so many visits keep them'),
      { key: 'trust_promised_parts', label: 'Parts count from the day their seller promised', form: 'yes' },
    ],
  },
  {
    name: 'Where nothing else is left',
    rates: [
      money('break_low_limit_cents', 'A pool kept low past its limit'),
      money('break_commission_cents', 'A commission past its limit'),
      money('break_availability_cents', 'Hours of a place not kept'),
      money('break_pin_cents', 'A fixed visit moved'),
    ],
  },
]
