package estimate

import (
	"strconv"

	"ebbline/jobs"
)

// show writes a figure's whole number as the trade reads it.
func show(v int64, unit Unit) string {
	switch unit {
	case UnitLength:
		return jobs.FeetInches(v)
	case UnitArea:
		return tenth(float64(v)/92_903.04) + " ft²"
	case UnitVolume:
		return grouped(round(float64(v)/mlPerGallon)) + " gal"
	case UnitFlow:
		return tenth(float64(v)/mlPerGallon) + " gpm"
	case UnitSeconds:
		return duration(v)
	case UnitPower:
		return tenth(float64(v)/1000) + " W"
	case UnitVoltage:
		return strconv.FormatFloat(float64(v)/1000, 'f', 2, 64) + " V"
	case UnitCurrent:
		return strconv.FormatFloat(float64(v)/1000, 'f', 2, 64) + " A"
	case UnitMille:
		return tenth(float64(v)/10) + " %"
	case UnitMoney:
		return "$" + jobs.Cents(v).String()
	case UnitEnergy:
		return tenth(float64(v)/1000) + " kWh"
	case UnitGap:
		return small(v)
	case UnitForce:
		return tenth(float64(v)/mNPerPound) + " lb"
	case UnitPress:
		return tenth(float64(v)/mNPerPound*.3048) + " lb/ft"
	case UnitAngle:
		return tenth(float64(v)/1000) + "°"
	case UnitRatio:
		return strconv.FormatFloat(float64(v)/1000, 'f', 2, 64)
	case UnitMonths:
		return grouped(v) + " months"
	}
	return grouped(v)
}

// tenth writes with one decimal, without it when it is zero.
func tenth(v float64) string {
	s := strconv.FormatFloat(v, 'f', 1, 64)
	if s[len(s)-2:] == ".0" {
		s = s[:len(s)-2]
	}
	if s == "-0" {
		return "0"
	}
	return s
}

func grouped(n int64) string {
	s := strconv.FormatInt(n, 10)
	start := 0
	if n < 0 {
		start = 1
	}
	for i := len(s) - 3; i > start; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// duration writes seconds as "2 d", "9 h 21 min", "45 min", "30 s".
func duration(s int64) string {
	if s < 0 {
		return "-" + duration(-s)
	}
	if s >= 86_400 && s%86_400 == 0 {
		return strconv.FormatInt(s/86_400, 10) + " d"
	}
	if s < 60 {
		return strconv.FormatInt(s, 10) + " s"
	}
	minutes := (s + 30) / 60
	h, min := minutes/60, minutes%60
	switch {
	case h == 0:
		return strconv.FormatInt(min, 10) + " min"
	case min == 0:
		return strconv.FormatInt(h, 10) + " h"
	}
	return strconv.FormatInt(h, 10) + " h " + strconv.FormatInt(min, 10) + " min"
}

// Conversions used in formulas. The gallon is 231 cubic inches, 3 785.411784 mL
// (NIST Handbook 44, appendix C).
const (
	mlPerGallon  = 3785.411784
	umPerFoot    = 304_800.0
	umPerInch    = 25_400.0
	pascalPerPSI = 6894.757293168361 // NIST SP 811
	mNPerPound   = 4448.2216152605   // NIST SP 811, pound-force
)
