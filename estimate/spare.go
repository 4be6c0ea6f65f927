package estimate

import (
	"cmp"
	"fmt"
	"slices"

	"ebbline/jobs"
)

// SetUse is a light-and-cord set that a truck takes along on a day.
type SetUse struct {
	Truck  string
	Day    jobs.Day
	Light  string // key in the catalogue
	Length int64  // µm, the factory length that the position takes
}

// LightLength is a length class of a light.
type LightLength struct {
	Light  string
	Length int64 // µm
}

// TruckSpares is what goes along in case a set fails or a run proves longer:
// one of each length class that the truck uses that day, sorted.
func TruckSpares(uses []SetUse) []LightLength {
	var list []LightLength
	for _, u := range uses {
		list = append(list, LightLength{u.Light, u.Length})
	}
	slices.SortFunc(list, compareClass)
	return slices.Compact(list)
}

func compareClass(a, b LightLength) int {
	return cmp.Or(cmp.Compare(a.Light, b.Light), cmp.Compare(a.Length, b.Length))
}

// SpareNeeds is the spares that a week of trucks needs. A spare comes back in
// the evening, so of each class as many are needed as trucks use it on the same
// day, the first of them by the first such day. Keys are spare:light:µm:number.
func SpareNeeds(uses []SetUse) []SetNeed {
	type truckDay struct {
		day   jobs.Day
		truck string
	}
	byDay := map[truckDay][]SetUse{}
	for _, u := range uses {
		at := truckDay{u.Day, u.Truck}
		byDay[at] = append(byDay[at], u)
	}
	trucks := map[LightLength]map[jobs.Day]int{}
	for at, list := range byDay {
		for _, class := range TruckSpares(list) {
			if trucks[class] == nil {
				trucks[class] = map[jobs.Day]int{}
			}
			trucks[class][at.day]++
		}
	}
	var needs []SetNeed
	for class, days := range trucks {
		first := map[int]jobs.Day{} // day by which the nth spare must be there
		most := 0
		for day, n := range days {
			most = max(most, n)
			for i := 1; i <= n; i++ {
				if old, ok := first[i]; !ok || day < old {
					first[i] = day
				}
			}
		}
		for i := 1; i <= most; i++ {
			needs = append(needs, SetNeed{Key: fmt.Sprintf("spare:%s:%d:%d", class.Light, class.Length, i), Light: class.Light, Low: class.Length, High: class.Length, Day: first[i], Spare: true})
		}
	}
	slices.SortFunc(needs, func(a, b SetNeed) int {
		return cmp.Or(compareClass(LightLength{a.Light, a.High}, LightLength{b.Light, b.High}), cmp.Compare(a.Day, b.Day), cmp.Compare(a.Key, b.Key))
	})
	return needs
}
