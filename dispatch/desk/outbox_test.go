package desk_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// Senders that die with a notice in their hands use its tries up. The office is
// told like of any other notice that was given up.
func TestTheOfficeHearsOfANoticeThatNoSenderOutlived(t *testing.T) {
	eachOffice(t, func(h *hands) {
		now, err := h.Settings(ctx, h.branch)
		h.must(err)
		now.Settings.Company.Email = "office@example.com"
		body, err := json.Marshal(now.Settings)
		h.must(err)
		_, err = h.ChangeSettings(ctx, h.as(jobs.RoleOwner), h.branch, now.Number, body)
		h.must(err)
		office := func() []jobs.Notice {
			list, err := h.Notices(ctx, desk.NoticeFilter{BranchID: h.branch}, jobs.Page{Limit: 50})
			h.must(err)
			return slices.DeleteFunc(list.Items, func(n jobs.Notice) bool { return n.Kind != jobs.NoticeBounced })
		}
		n := h.putNotice(func(n *jobs.Notice) { n.Zone = "America/Phoenix" })
		for try := 1; try <= desk.MaxTries; try++ {
			// A lease that is over when the next one asks.
			if out, err := h.ClaimNotice(ctx, n.ID, -time.Hour); err != nil || out == nil {
				t.Fatalf("try %d: %+v, %v", try, out, err)
			}
		}
		if told := office(); len(told) > 0 {
			t.Fatalf("told before it was given up: %+v", told)
		}
		if out, err := h.ClaimNotice(ctx, n.ID, time.Minute); err != nil || out != nil {
			t.Fatalf("tried once more: %+v, %v", out, err)
		}
		if after, _ := h.Notice(ctx, n.ID); after.State != jobs.NoticeFailed {
			t.Errorf("the notice is %s", after.State)
		}
		told := office()
		if len(told) != 1 || told[0].Address != "office@example.com" || told[0].State != jobs.NoticeDue || !strings.Contains(told[0].Body, n.Address) {
			t.Errorf("the office is told %+v", told)
		}
	})
}
