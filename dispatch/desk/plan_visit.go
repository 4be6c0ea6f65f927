package desk

import (
	"slices"

	"ebbline/estimate"
	"ebbline/jobs"
)

// estimated is what the kept estimate says of a kind of visit.
func (m *weekMaker) estimated(j *jobFacts, kind jobs.VisitKind) (estimate.Visit, bool) {
	if j.Estimate == nil {
		return estimate.Visit{}, false
	}
	return j.Estimate.Visit(string(kind))
}

// seconds is how long a visit is planned for: what somebody set, else the
// estimate's planning quantile (parted where the work is parted), else the
// kind's own length.
func (m *weekMaker) seconds(j *jobFacts, v jobs.Visit) int64 {
	if v.Seconds != nil {
		return *v.Seconds
	}
	e, ok := m.estimated(j, v.Kind)
	if !ok || !e.Plan.Known || e.Plan.Value <= 0 {
		return max(m.kinds[v.Kind].Seconds, 60)
	}
	parts := int64(0)
	for _, other := range j.Job.Visits {
		if other.Kind == v.Kind && other.State != jobs.VisitWithdrawn && other.State != jobs.VisitWasted && other.Seconds == nil {
			parts++
		}
	}
	if parts < 2 {
		return e.Plan.Value
	}
	return (e.Plan.Value + (parts-1)*e.Again + parts - 1) / parts
}

// usualSkills is what a kind of visit asks for where no estimate says.
var usualSkills = map[jobs.VisitKind][]jobs.Skill{
	jobs.VisitSurvey: {jobs.SkillSurvey}, jobs.VisitPrepare: {jobs.SkillDig}, jobs.VisitDrain: {jobs.SkillWater},
	jobs.VisitConvert: {jobs.SkillPull}, jobs.VisitCommission: {jobs.SkillPull}, jobs.VisitCallBack: {jobs.SkillPull},
}

// skills is what a visit asks of its crew. A kind that law leaves to the
// licensed asks for that whatever an estimate says.
func (m *weekMaker) skills(j *jobFacts, v jobs.Visit) []string {
	var out []string
	add := func(s jobs.Skill) {
		if slices.Contains(jobs.Skills, s) && !slices.Contains(out, string(s)) {
			out = append(out, string(s))
		}
	}
	if e, ok := m.estimated(j, v.Kind); ok {
		for _, s := range e.Skills {
			add(jobs.Skill(s))
		}
	} else {
		for _, s := range usualSkills[v.Kind] {
			add(s)
		}
	}
	if m.kinds[v.Kind].Licensed {
		add(jobs.SkillLicensed)
	}
	return out
}
