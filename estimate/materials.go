package estimate

import (
	"fmt"
	"maps"
	"slices"

	"ebbline/jobs"
)

// Line is one part of the materials list.
type Line struct {
	Key        string     `json:"key"`
	Name       string     `json:"name"`
	Quantity   int64      `json:"quantity"` // stock units, whole: half a block is bought as one
	Stock      string     `json:"stock"`
	Cost       jobs.Cents `json:"cost"` // of all of them
	For        string     `json:"for,omitempty"`
	Alternates string     `json:"alternates,omitempty"`
	Tool       bool       `json:"tool,omitempty"`
}

// Materials are the parts of a conversion and the tools of its load list.
type Materials struct {
	Lines []Line `json:"lines"`
	Cost  Figure `json:"cost"` // parts only; not known while a part is not known
}

// materials lists sets, supply and the rules' parts.
func (c *calc) materials(e Estimate) Materials {
	m := Materials{Lines: []Line{}}
	lack := gather()
	lengths := map[int64]*Line{}
	for _, cord := range e.Cords {
		if !cord.Order.Known {
			lack = gather(lack, unknown(cord.Order.Missing...))
			continue
		}
		line, ok := lengths[cord.Order.Value]
		if !ok {
			line = &Line{Key: fmt.Sprintf("%s-%d", c.light.Key, cord.Order.Value/304_800), Name: c.light.Name + " with cord of " + cord.Order.Text, Stock: "set"}
			lengths[cord.Order.Value] = line
		}
		line.Quantity++
		line.Cost += cord.Cost
		if line.For != "" {
			line.For += ", "
		}
		line.For += cord.Name
		for _, length := range cord.Alternates {
			if line.Alternates != "" {
				line.Alternates += "; "
			}
			line.Alternates += show(length, UnitLength) + " for " + cord.Name + " once measured"
		}
	}
	for _, length := range slices.Sorted(maps.Keys(lengths)) {
		m.Lines = append(m.Lines, *lengths[length])
	}
	if len(e.Cords) == 0 {
		lack = gather(lack, unknown(Miss{Text: "The light positions and their conduits"}))
	}
	if e.Supply.Part == "" {
		lack = gather(lack, unknown(e.Supply.Loading.Missing...))
	} else {
		m.Lines = append(m.Lines, Line{Key: e.Supply.Part, Name: e.Supply.Name, Quantity: 1, Stock: "piece", Cost: e.Supply.Cost})
	}
	for _, rule := range c.set.Catalogue.Parts {
		if rule.When == adapterRule {
			m.Lines = append(m.Lines, c.adapters(e, rule)...)
			continue
		}
		if line, ok := c.part(e, rule); ok {
			m.Lines = append(m.Lines, line)
		}
	}
	total, less := jobs.Cents(0), jobs.Cents(0)
	for _, cord := range e.Cords {
		less += c.cheaper(cord)
	}
	for _, line := range m.Lines {
		total += line.Cost
	}
	cost := lack
	if lack.ok {
		cost = fixed(float64(total), Input{Name: "Parts", Text: plural(len(m.Lines), "line")})
	}
	m.Cost = figure("materials.cost", "Materials at cost", "", UnitMoney, cost)
	if m.Cost.Known {
		m.Cost.Value, m.Cost.Low, m.Cost.High = int64(total), int64(total-less), int64(total)
		if less > 0 {
			m.Cost.Margin = "down to " + show(m.Cost.Low, UnitMoney) + " if shorter sets do once the runs are measured"
		}
	}
	m.Cost.Formula, m.Cost.Source = "quantity × cost, added up", "catalogue"
	return m
}

// cheaper is what the cheapest of a cord's alternates would save.
func (c *calc) cheaper(cord Cord) jobs.Cents {
	save := jobs.Cents(0)
	for _, length := range cord.Alternates {
		for _, set := range c.light.Sets {
			if set.Length == length {
				save = max(save, cord.Cost-set.Cost)
			}
		}
	}
	return save
}

// part turns a rule into a line; false when none is needed.
func (c *calc) part(e Estimate, rule PartRule) (Line, bool) {
	if yes, _ := c.holds(e, rule.When); !yes {
		return Line{}, false
	}
	n := int64(1)
	switch rule.Each {
	case "light":
		n = int64(e.Supply.Lights)
	case "conduit":
		n = int64(len(e.Conduits))
	case "zone":
		n = int64(len(e.Supply.Zones))
	}
	quantity := (n*rule.Quantity + 999) / 1000
	if quantity == 0 {
		return Line{}, false
	}
	line := Line{Key: rule.Key, Name: rule.Name, Quantity: quantity, Stock: rule.Stock, Tool: rule.Tool}
	if !rule.Tool {
		line.Cost = rule.Cost * jobs.Cents(quantity)
	}
	return line, true
}
