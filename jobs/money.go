package jobs

import "fmt"

// Cents is money in whole US cents. There is no money in floating point
// anywhere in Ebbline.
type Cents int64

// String writes dollars with two decimals and a thousands comma: 1,234.50.
func (c Cents) String() string {
	sign, n := "", int64(c)
	if n < 0 {
		sign, n = "-", -n
	}
	whole := fmt.Sprintf("%d", n/100)
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	return fmt.Sprintf("%s%s.%02d", sign, whole, n%100)
}
