package jobs

import (
	"fmt"
	"math/big"
	"strings"
)

// FormatMeasure writes base units of q in a unit, rounded to at most decimals
// places, trailing zeros dropped: 9 753 600 µm in ft is "32". Parsing it back
// in the same unit gives the same base when decimals is 12. The unit must be
// one of q's.
func FormatMeasure(q Quantity, base int64, unit string, decimals int) (string, error) {
	u, ok := UnitNamed(q, unit)
	if !ok {
		return "", fmt.Errorf("unit %q is not one of %s", unit, strings.Join(UnitNames(q), ", "))
	}
	r := new(big.Rat).Mul(new(big.Rat).SetInt64(base), big.NewRat(u.den, u.num))
	r.Sub(r, new(big.Rat).SetInt64(u.offset))
	text := r.FloatString(decimals)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		text = "0"
	}
	return text, nil
}

// FeetInches writes micrometres as the trade does, to the nearest 1/8 inch:
// 5' 6 1/2".
func FeetInches(um int64) string {
	sign := ""
	if um < 0 {
		sign, um = "-", -um
	}
	eighths := (um + 1587) / 3175 // 1/8 in = 3 175 µm exactly
	if eighths == 0 {
		sign = ""
	}
	feet, rest := eighths/96, eighths%96
	inches, part := rest/8, rest%8
	var out []string
	if feet > 0 {
		out = append(out, fmt.Sprintf("%d'", feet))
	}
	switch {
	case part > 0:
		den := int64(8)
		for part%2 == 0 {
			part, den = part/2, den/2
		}
		if inches > 0 || feet > 0 {
			out = append(out, fmt.Sprintf(`%d %d/%d"`, inches, part, den))
		} else {
			out = append(out, fmt.Sprintf(`%d/%d"`, part, den))
		}
	case inches > 0 || feet == 0:
		out = append(out, fmt.Sprintf(`%d"`, inches))
	}
	return sign + strings.Join(out, " ")
}
