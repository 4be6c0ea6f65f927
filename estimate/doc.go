// Package estimate computes what a conversion takes from what a survey says:
// the water and its clock, light-and-cord lengths, the supply and its zones,
// the time of each visit, materials, price, energy saved, checks and cautions.
// It is pure: the same survey, settings and question give the same estimate.
//
//	e := estimate.Make(survey, estimate.DefaultSettings(), estimate.Ask{Zones: 1})
//	fmt.Print(estimate.Sheet(e)) // every figure with its working
//
// A [Figure] carries its working: formula, inputs, source, margin. What is not
// known is never a number: the figure says "not known yet" and lists what to
// measure. Figures are whole numbers in the base units of package jobs (µm, mL,
// s, mW, mV, mA, cents); between them the arithmetic runs in float64 on checked,
// finite inputs, money in whole cents throughout.
//
// Bands: Low and High are the 10 % and 90 % quantiles that follow from how each
// input is known; independent errors add in quadrature. A value that becomes
// better known never widens a band.
//
// The estimate plans and documents; it certifies nothing. Code tables are used
// as checks, each named with its edition; the edition adopted locally governs.
package estimate
