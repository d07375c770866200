package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"millrace/scripting"
	"millrace/sim/files"
	"millrace/sim/futures/capital"
	"millrace/sim/quantity"
	"millrace/sim/report"
	"millrace/sim/works"
)

// caseRequest is what the written request says beside the answer.
func caseRequest(in *scripting.CaseFile, x report.Extra) report.Request {
	r := report.Request{Extra: x}
	r.Assumptions = ruleAssumptions(in)
	for _, s := range in.Sources {
		r.Sources = append(r.Sources, report.Sourced{What: s.What, Source: s.Source})
	}
	first := &in.Options[0].Works.Plant.Spec
	for i := range in.Options {
		o := &in.Options[i]
		q := report.RequestOption{Note: o.Note, Source: o.Source, Changes: o.Changes, Safety: o.Safety, After: o.After, SafetyPoints: o.SafetyPoints, AfterPoints: o.AfterPoints,
			Salvage: whole(o.Salvage), Cautions: cautions(first, o)}
		for _, p := range o.Pays {
			q.Pays = append(q.Pays, report.RequestPayment{What: p.What, Amount: whole(p.Amount), When: afterDecision(p.After), Source: p.Source})
		}
		for _, p := range o.Running {
			q.Running = append(q.Running, report.RequestPayment{What: p.What, Amount: whole(p.Amount), Source: p.Source})
		}
		if o.Takes > 0 {
			q.Takes = longTime(o.Takes)
		}
		var ramp []string
		for _, k := range o.Ramp {
			ramp = append(ramp, quantity.FormatShare(k.Share)+" of the gain for "+longTime(k.For))
		}
		q.Ramp = strings.Join(ramp, ", then ")
		full := o.Takes
		for _, k := range o.Ramp {
			full += k.For
		}
		if full > 0 {
			q.Full = longTime(full)
		}
		for _, s := range o.TieIns {
			q.TieIns = append(q.TieIns, s.Unit+" for "+quantity.FormatDuration(s.Lasts)+", "+afterDecision(s.After))
		}
		r.Options = append(r.Options, q)
	}
	for i := range first.Upsets {
		u := &first.Upsets[i]
		every := quantity.FormatDuration(u.Every)
		switch clockOf(in.Options[0].Works.Plant, u) {
		case works.ByUse:
			every = quantity.FormatNumber(u.Every, 0) + " pieces"
		case works.ByOperating:
			every += " of operation"
		}
		longest := ""
		if l := u.Lasts.Longest(); !math.IsInf(l, 1) {
			longest = quantity.FormatDuration(l)
		}
		r.Upsets = append(r.Upsets, report.UpsetRate{Name: u.Name, Unit: strings.Join(append([]string{u.Unit}, u.With...), ", "), Every: every, Median: quantity.FormatDuration(u.Lasts.Median()),
			OneInTen: quantity.FormatDuration(u.Lasts.Quantile(0.9)), Longest: longest, Source: u.Source})
	}
	return r
}

func whole(v float64) capital.Money { return capital.Money(math.Round(v)) }

// longTime writes building times in months, shorter ones as durations.
func longTime(s float64) string {
	const month = capital.Year / 12.0
	if s < 2*month {
		return quantity.FormatDuration(s)
	}
	return strings.TrimSuffix(quantity.FormatNumber(s/month, 1), ".0") + " months"
}

func afterDecision(s float64) string {
	if s == 0 {
		return "at the decision"
	}
	return "after " + longTime(s)
}

// cautions are those of the kinds of upset that an option changes.
func cautions(first *works.Spec, o *scripting.Option) (out []string) {
	own := &o.Works.Plant.Spec
	for i := range own.Upsets {
		if i >= len(first.Upsets) || !touched(&first.Upsets[i], &own.Upsets[i]) {
			continue
		}
		k := &works.Kinds[own.Upsets[i].Kind]
		if s := capitalised(k.Name) + ": " + k.Caution; !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	for _, t := range o.TieIns {
		out = append(out, fmt.Sprintf("Work on %s while it stands: isolate, lock, tag and prove before anybody enters; lifts and hot work are planned; restart after a headcount. Site rules, local codes, licensed practice decide.", t.Unit))
	}
	return out
}

func touched(a, b *works.UpsetSpec) bool {
	return a.Every != b.Every || a.Lasts != b.Lasts || a.Ruins != b.Ruins || a.ComesBack != b.ComesBack || a.BackFor != b.BackFor ||
		a.Slow != b.Slow || a.Downgrades != b.Downgrades
}

func capitalised(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// ruleAssumptions are how every case is computed.
func ruleAssumptions(in *scripting.CaseFile) []string {
	out := []string{
		"money at year ends, before tax, in the money of the day of the decision",
		"an upset comes at the same operating age under every option, with the same luck of its repair",
	}
	if !in.SoldOut {
		out = append(out, "casters and blast furnaces are slowed to the order book under every option, as far as they can be: a tenth and a twentieth above what it needs (chosen)")
	}
	if w := in.Options[0].Works; w.Spec.Invented {
		out = append(out, w.Spec.Name+" is invented; any likeness to a real works is chance")
	}
	return out
}

// writeCaseFolder writes the request: page, workbook, tables and the answer as data.
func writeCaseFolder(dir string, in *scripting.CaseFile, a *capital.Answer, x report.Extra) error {
	r := caseRequest(in, x)
	page, err := report.CaseHTML(a, r)
	if err != nil {
		return err
	}
	book, err := report.CaseWorkbook(a, r)
	if err != nil {
		return err
	}
	return files.WriteRunFolder(dir, func(d *files.Folder) error {
		for _, f := range in.Files {
			if err := d.Input(f.Name, f.Data); err != nil {
				return err
			}
		}
		if err := d.JSON("case.json", a); err != nil {
			return err
		}
		for _, t := range report.CaseTables(a) {
			if err := d.Table(t.Name+".csv", t.Header, t.Rows); err != nil {
				return err
			}
		}
		if err := d.Write("request.xlsx", book); err != nil {
			return err
		}
		return d.Write("request.html", page)
	})
}
