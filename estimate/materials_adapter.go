package estimate

import "ebbline/jobs"

// adapterRule marks the catalogue's part that joins a light to a wall fitting of
// another thread.
const adapterRule = "adapter"

// adapters lists the adapters by kind: those that the wall fittings need, and
// one for each fitting whose thread nobody knows yet, which may come back.
func (c *calc) adapters(e Estimate, rule PartRule) []Line {
	var lines []Line
	add := func(key, name, about string, maybe bool) {
		i := 0
		for i < len(lines) && lines[i].Key != key {
			i++
		}
		if i == len(lines) {
			lines = append(lines, Line{Key: key, Name: name, Stock: rule.Stock})
			if maybe {
				lines[i].Alternates = "none where the thread turns out to fit"
			}
		}
		lines[i].Quantity += max((rule.Quantity+999)/1000, 1)
		lines[i].Cost = rule.Cost * jobs.Cents(lines[i].Quantity)
		if about != "" && lines[i].For != "" {
			lines[i].For += ", "
		}
		lines[i].For += about
	}
	if len(e.Fits) == 0 {
		for range e.Supply.Lights {
			add(rule.Key, rule.Name, "", true)
		}
	}
	for _, fit := range e.Fits {
		pos, _ := c.survey.Subject(fit.Position)
		_, known := pos.Value("fitting_thread")
		switch {
		case fit.Adapter != nil:
			add(rule.Key+"-"+fit.Adapter.From, fit.Adapter.Name, fit.Name, false)
		case !known:
			add(rule.Key, rule.Name+", thread not known yet", fit.Name, true)
		}
	}
	return lines
}
