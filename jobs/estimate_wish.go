package jobs

import "strings"

// EstimateWish is what somebody asks of an estimate. The zero wish asks for what
// the customer approved; before that, for what the survey wishes and the first
// light of the catalogue.
type EstimateWish struct {
	Zones int      // 1 or 2; 0: as the survey wishes
	Light string   // key in the catalogue; empty: the first
	Later []string // ids of bodies of water or light positions left for later
}

// SplitLater reads ids joined by commas.
func SplitLater(text string) []string {
	var ids []string
	for _, id := range strings.Split(text, ",") {
		if id = strings.TrimSpace(id); id != "" {
			ids = append(ids, id)
		}
	}
	return ids
}
