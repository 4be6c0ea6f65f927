package jobs

import (
	"encoding/json"
	"reflect"
	"time"
)

// SettingsVersion is the version of the settings form that this program
// writes; it reads no newer one.
const SettingsVersion = 1

// Settings are a branch's rates and rules: every one something that an owner
// can say aloud. They are kept in numbered versions and never changed in
// place, so that an estimate or a plan can always be opened to the numbers it
// was made with.
type Settings struct {
	Version  int              `json:"version"`
	Planning PlanningSettings `json:"planning"`
	Company  CompanySettings  `json:"company"`
	// Estimate holds the numbers of package estimate as JSON; desk reads them.
	// Empty means the defaults of that package.
	Estimate json.RawMessage `json:"estimate,omitempty"`
}

// SettingsInForce is a numbered version of a branch's settings.
type SettingsInForce struct {
	BranchID string
	Number   int64 // 1: the defaults; nobody has set any yet
	Settings Settings
	MadeAt   time.Time
	MadeBy   string
}

// DefaultSettings is a full set of invented but sensible numbers, without the
// numbers of package estimate.
func DefaultSettings() Settings {
	return Settings{Version: SettingsVersion, Planning: DefaultPlanning(), Company: DefaultCompany()}
}

// DecodeSettings reads settings as somebody sends them: strict, and whole. A
// part that is left out would silently go back to its default, so it is
// refused.
func DecodeSettings(data []byte) (Settings, error) {
	s := DefaultSettings()
	if err := DecodeStrict(data, &s); err != nil {
		return Settings{}, err
	}
	var sent map[string]json.RawMessage
	if err := json.Unmarshal(data, &sent); err != nil {
		return Settings{}, jsonFault(err)
	}
	var f Faults
	whole(&f, sent["planning"], "planning", s.Planning)
	whole(&f, sent["company"], "company", s.Company)
	if err := f.Err(); err != nil {
		return Settings{}, err
	}
	return s, s.Check()
}

// whole notes every field of a part that was not sent.
func whole(f *Faults, data json.RawMessage, at string, part any) {
	var sent map[string]json.RawMessage
	if len(data) > 0 {
		_ = json.Unmarshal(data, &sent) // it has been read strictly before
	}
	for _, name := range orderedNames(reflect.TypeOf(part)) {
		if _, ok := sent[name]; !ok {
			f.Add(at+"."+name, "", "needed; settings are sent whole")
		}
	}
}

// StoredSettings reads settings as they were kept. A rate that this program
// has learnt since takes its default.
func StoredSettings(data []byte) (Settings, error) {
	s := DefaultSettings()
	if err := json.Unmarshal(data, &s); err != nil {
		return Settings{}, err
	}
	return s, nil
}

// EncodeSettings writes settings as they are kept.
func EncodeSettings(s Settings) ([]byte, error) { return json.Marshal(s) }

// Check refuses what is wrong, all of it at once. The numbers of package
// estimate are checked there.
func (s Settings) Check() error {
	var f Faults
	f.Check(s.Version == SettingsVersion, "version", itoa(s.Version), itoa(SettingsVersion))
	s.Planning.check(&f)
	s.Company.check(&f)
	return f.Err()
}
