package store_test

import (
	"slices"
	"testing"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
)

// yard adds home 20, people 21 and 22 and crew 23.
func yard(t *testing.T, st *store.Store) {
	t.Helper()
	seed(t, st)
	must(t, st.InTx(ctx, func(tx *store.Tx) error {
		must(t, tx.InsertHome(jobs.Home{ID: id(20), BranchID: id(1), HomeData: jobs.HomeData{Name: "North yard", LatE7: 334_500_001, LonE7: -1_120_700_002}, Version: 1, CreatedAt: now, UpdatedAt: now}))
		for i, skills := range [][]jobs.Skill{{jobs.SkillPull, jobs.SkillWater}, {jobs.SkillLicensed}} {
			must(t, tx.InsertPerson(jobs.Person{ID: id(21 + i), BranchID: id(1), PersonData: jobs.PersonData{Name: "Person " + string(rune('A'+i)), Skills: skills, Active: true}, Version: 1, CreatedAt: now, UpdatedAt: now}))
		}
		return tx.InsertCrew(jobs.Crew{ID: id(23), BranchID: id(1), CrewData: jobs.CrewData{HomeID: id(20), Name: "Crew 1", PumpBerths: 2, People: []string{id(21), id(22)},
			Shifts: []jobs.Shift{{Weekday: 1, FromMinute: 420, ToMinute: 930, OvertimeMinutes: 60}}, Active: true}, Version: 1, CreatedAt: now, UpdatedAt: now})
	}))
}

func TestPlanSideNounsComeBackAsTheyWent(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		yard(t, st)
		temp, at := int64(41_500), time.Date(2026, 3, 9, 7, 0, 0, 0, time.UTC)
		must(t, st.InTx(ctx, func(tx *store.Tx) error {
			must(t, tx.InsertPump(jobs.Pump{ID: id(30), BranchID: id(1), PumpData: jobs.PumpData{HomeID: id(20), Name: "P1", State: jobs.PumpWorking, FlowMLPS: 3100, Note: "new hose"}, Version: 1, CreatedAt: now, UpdatedAt: now}))
			must(t, tx.InsertAbsence(jobs.Absence{ID: id(31), BranchID: id(1), AbsenceData: jobs.AbsenceData{PersonID: id(22), Day: "2026-03-10", FromMinute: 0, ToMinute: 1440, Reason: "course"}, Version: 1, CreatedAt: now, UpdatedAt: now}))
			must(t, tx.InsertClosure(jobs.Closure{ID: id(32), BranchID: id(1), ClosureData: jobs.ClosureData{Kind: jobs.ClosureEverything, FromAt: at, ToAt: at.Add(24 * time.Hour), StopsPumping: true, Reason: "storm"}, Version: 1, CreatedAt: now, UpdatedAt: now}))
			must(t, tx.PutDayFact(jobs.DayFact{ID: id(33), BranchID: id(1), DayFactData: jobs.DayFactData{Day: "2026-03-10"}, UpdatedAt: now}))
			return tx.PutDayFact(jobs.DayFact{ID: id(34), BranchID: id(1), DayFactData: jobs.DayFactData{Day: "2026-03-10", HighTempMC: &temp}, UpdatedAt: now})
		}))
		must(t, st.View(ctx, func(tx *store.Tx) error {
			homes, err := tx.Homes(id(1))
			must(t, err)
			if len(homes) != 1 || homes[0].LatE7 != 334_500_001 || homes[0].LonE7 != -1_120_700_002 {
				t.Errorf("homes %+v", homes)
			}
			crews, err := tx.Crews(id(1))
			must(t, err)
			if len(crews) != 1 || !slices.Equal(crews[0].People, []string{id(21), id(22)}) || len(crews[0].Shifts) != 1 || crews[0].Shifts[0].ToMinute != 930 {
				t.Errorf("crews %+v", crews)
			}
			people, err := tx.Persons(id(1))
			must(t, err)
			if len(people) != 2 || len(people[0].Skills) != 2 || !slices.Equal(people[1].Skills, []jobs.Skill{jobs.SkillLicensed}) {
				t.Errorf("people %+v", people)
			}
			pumps, err := tx.Pumps(id(1))
			must(t, err)
			if len(pumps) != 1 || pumps[0].FlowMLPS != 3100 || pumps[0].State != jobs.PumpWorking {
				t.Errorf("pumps %+v", pumps)
			}
			away, err := tx.Absences(id(1), "2026-03-09", "2026-03-13")
			must(t, err)
			if len(away) != 1 || away[0].PersonID != id(22) || away[0].CrewID != "" {
				t.Errorf("absences %+v", away)
			}
			shut, err := tx.Closures(id(1), at.Add(23*time.Hour), at.Add(48*time.Hour))
			must(t, err)
			if len(shut) != 1 || !shut[0].StopsPumping {
				t.Errorf("closures %+v", shut)
			}
			if none, err := tx.Closures(id(1), at.Add(24*time.Hour), at.Add(48*time.Hour)); err != nil || len(none) != 0 {
				t.Errorf("a closure that is over: %+v, %v", none, err)
			}
			facts, err := tx.DayFacts(id(1), "2026-03-09", "2026-03-13")
			must(t, err)
			if len(facts) != 1 || facts[0].ID != id(33) || facts[0].HighTempMC == nil || *facts[0].HighTempMC != temp || facts[0].RainUM != nil {
				t.Errorf("day facts %+v", facts)
			}
			return nil
		}))

		// Changes replace people, skills and shifts, by version.
		must(t, st.InTx(ctx, func(tx *store.Tx) error {
			c, err := tx.Crew(id(23))
			must(t, err)
			c.People, c.Shifts, c.Active = []string{id(22)}, append(c.Shifts, jobs.Shift{Weekday: 2, FromMinute: 420, ToMinute: 900}), false
			must(t, tx.UpdateCrew(c))
			wantCode(t, tx.UpdateCrew(c), jobs.CodeStale)
			p, err := tx.Person(id(21))
			must(t, err)
			p.Skills = nil
			return tx.UpdatePerson(p)
		}))
		must(t, st.View(ctx, func(tx *store.Tx) error {
			c, err := tx.Crew(id(23))
			must(t, err)
			if c.Version != 2 || len(c.People) != 1 || len(c.Shifts) != 2 || c.Active {
				t.Errorf("crew %+v", c)
			}
			p, err := tx.Person(id(21))
			must(t, err)
			if len(p.Skills) != 0 {
				t.Errorf("person %+v", p)
			}
			return nil
		}))
		err := st.InTx(ctx, func(tx *store.Tx) error {
			return tx.InsertHome(jobs.Home{ID: id(40), BranchID: id(1), HomeData: jobs.HomeData{Name: "North yard"}, Version: 1, CreatedAt: now, UpdatedAt: now})
		})
		wantCode(t, err, jobs.CodeConflict)
		wantCode(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.DeleteAbsence(id(31), 2) }), jobs.CodeStale)
		must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.DeleteAbsence(id(31), 1) }))
		wantCode(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.DeleteAbsence(id(31), 1) }), jobs.CodeNotFound)
	})
}
