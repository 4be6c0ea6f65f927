package desk_test

import (
	"strings"
	"testing"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// A quote that is sent stands in the outbox in the same transaction, with its
// lines, total and terms; a later quote replaces what has not left.
func TestQuoteIsTold(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, q := h.quoted()
		list, err := h.Notices(ctx, desk.NoticeFilter{JobID: jobID}, jobs.Page{})
		h.must(err)
		if len(list.Items) != 1 || list.Items[0].Kind != jobs.NoticeQuote || !strings.Contains(list.Items[0].Body, q.Total.String()) {
			t.Fatalf("the outbox holds %+v", list.Items)
		}
		first := list.Items[0]
		if first.State == jobs.NoticeDue && (first.Address == "" || !first.UsefulUntil.After(first.DueAt)) {
			t.Errorf("notice %+v", first)
		}
		draft, err := h.CreateQuote(ctx, h.office(), jobID, jobs.NewQuote{EstimateID: q.EstimateID})
		h.must(err)
		_, err = h.SendQuote(ctx, h.office(), draft.NounID, 1)
		h.must(err)
		old, err := h.Notice(ctx, first.ID)
		h.must(err)
		if first.State == jobs.NoticeDue && old.State != jobs.NoticeDue {
			t.Errorf("another quote's own notice was touched: %s", old.State)
		}
	})
}
