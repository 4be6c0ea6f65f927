package estimate

import (
	"bytes"
	"encoding/json"
	"io"
	"strconv"

	"ebbline/jobs"
)

// Encode writes an estimate as JSON, for storage and for the API.
func Encode(e Estimate) ([]byte, error) { return json.Marshal(e) }

// Decode reads what Encode wrote; CodeInvalid for anything else. The figures
// come back as they were; nothing is computed again.
func Decode(data []byte) (Estimate, error) {
	var e Estimate
	if err := strict(data, &e); err != nil {
		return Estimate{}, err
	}
	if e.Version != Version {
		return Estimate{}, jobs.Faults{{Field: "version", Value: strconv.Itoa(e.Version), Want: strconv.Itoa(Version) + ", the estimate form of this program"}}.Err()
	}
	return e, nil
}

// EncodeSettings writes settings as JSON.
func EncodeSettings(s Settings) ([]byte, error) { return json.MarshalIndent(s, "", "  ") }

func strict(data []byte, to any) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(to); err != nil {
		return &jobs.Error{Code: jobs.CodeInvalid, Text: "The JSON does not have the form asked for", Cause: err}
	}
	if _, err := dec.Token(); err != io.EOF {
		return &jobs.Error{Code: jobs.CodeInvalid, Text: "One JSON object and nothing behind it"}
	}
	return nil
}
