package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// Killing serve at any moment loses nothing that was acknowledged, and asking
// again with the same key has one effect: eight clients note customers while the
// process is killed, each asks until it has an answer, and afterwards every
// customer is there exactly once, under the id that was answered. (That a
// machine keeps what was synced when its power fails is not shown by this.)
func TestServeKilledKeepsWhatItAcknowledged(t *testing.T) {
	kills, clients := 6, 8
	if testing.Short() {
		kills = 2
	}
	databases(t, func(t *testing.T, env []string) {
		addUser(t, env)
		seed := uint64(time.Now().UnixNano())
		t.Logf("seed %d", seed)
		rng := rand.New(rand.NewPCG(seed, 1))
		p := start(t, append(env, "EBBLINE_LISTEN=127.0.0.1:0"), "serve")
		var mu sync.RWMutex // held for writing while there is no server
		url := p.url
		token, branch := programToken(t, url)
		acked := make([]map[string]string, clients) // key -> id
		stop := make(chan struct{})
		var wg sync.WaitGroup
		for c := range clients {
			acked[c] = map[string]string{}
			wg.Add(1)
			go func() {
				defer wg.Done()
				for n := 0; ; n++ {
					select {
					case <-stop:
						return
					default:
					}
					key := fmt.Sprintf("client-%d-%d", c, n)
					for {
						mu.RLock()
						at := url
						mu.RUnlock()
						id, ok := noteCustomer(at, token, branch, key)
						if ok {
							acked[c][key] = id
							break
						}
					}
				}
			}()
		}
		for range kills {
			time.Sleep(time.Duration(100+rng.IntN(200)) * time.Millisecond)
			mu.Lock()
			p.end(t, syscall.SIGKILL)
			p = start(t, append(env, "EBBLINE_LISTEN=127.0.0.1:0"), "serve")
			url = p.url
			mu.Unlock()
		}
		time.Sleep(200 * time.Millisecond)
		close(stop)
		wg.Wait()
		p.end(t, syscall.SIGTERM)

		c, err := configFrom(env...)
		if err != nil {
			t.Fatal(err)
		}
		st, err := store.Open(t.Context(), c.Database)
		if err != nil {
			t.Fatal(err)
		}
		defer st.Close()
		byName, total := map[string][]string{}, 0
		page := jobs.Page{Limit: jobs.MaxPage}
		for {
			var list jobs.List[jobs.Customer]
			err := st.View(t.Context(), func(tx *store.Tx) (err error) {
				list, err = tx.Customers(store.CustomerFilter{}, page)
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
			for _, one := range list.Items {
				byName[one.Name] = append(byName[one.Name], one.ID)
				total++
			}
			if list.Next == "" {
				break
			}
			page.Cursor = list.Next
		}
		wrong := 0
		answered := 0
		for c := range acked {
			for key, id := range acked[c] {
				answered++
				if got := byName[key]; len(got) != 1 || got[0] != id {
					wrong++
					t.Errorf("%s was answered as %s, the database has %v", key, id, got)
				}
			}
		}
		if answered < clients*2 || total != answered {
			t.Errorf("%d answered, %d in the database", answered, total)
		}
		t.Logf("%d kills, %d acknowledged, %d lost or doubled", kills, answered, wrong)
	})
}

func programToken(t *testing.T, url string) (token, branch string) {
	t.Helper()
	status, body := fetch(t, browser(t), "POST", url+"/api/v1/session?tokens=true", `{"email":"olga@example.com","password":"a long password"}`)
	var s struct {
		AccessToken string `json:"access_token"`
		Branches    []struct{ ID string }
	}
	if err := json.Unmarshal([]byte(body), &s); err != nil || status != 200 || len(s.Branches) == 0 {
		t.Fatalf("sign in: %d %s", status, body)
	}
	return s.AccessToken, s.Branches[0].ID
}

// noteCustomer asks once. false: nothing is known of what became of it, or the
// server asked to come again.
func noteCustomer(url, token, branch, key string) (id string, ok bool) {
	body := fmt.Sprintf(`{"branch_id":%q,"name":%q}`, branch, key)
	r, err := http.NewRequest(http.MethodPost, url+"/api/v1/customers", strings.NewReader(body))
	if err != nil {
		return "", false
	}
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Authorization", "Bearer "+token)
	r.Header.Set("Idempotency-Key", key)
	answer, err := (&http.Client{Timeout: 5 * time.Second}).Do(r)
	if err != nil {
		time.Sleep(5 * time.Millisecond)
		return "", false
	}
	defer answer.Body.Close()
	var c struct{ ID string }
	if answer.StatusCode != http.StatusCreated || json.NewDecoder(answer.Body).Decode(&c) != nil {
		time.Sleep(5 * time.Millisecond)
		return "", false
	}
	return c.ID, true
}
