package report

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"millrace/sim/calendar"
	"millrace/sim/futures"
	"millrace/sim/quantity"
)

// Width is the widest line of the short answer, so that it can be pasted into a
// message; Lines is how many it has at most.
const (
	Width = 100
	Lines = 30
)

// HowLong writes the answer for the first ten minutes: people first, what comes
// next, the last moments, the heats, the calls.
func HowLong(a *futures.HowLong) string {
	var b strings.Builder
	line := func(format string, args ...any) { b.WriteString(clip(fmt.Sprintf(format, args...)) + "\n") }
	var down []string
	for i := range a.Q.Stops {
		st := &a.Q.Stops[i]
		since := hhmm(st.Since)
		if st.Since.StartOfDay() != a.Clock.StartOfDay() {
			since = day(st.Since)
		}
		down = append(down, fmt.Sprintf("%s down since %s", a.Units[i], since))
	}
	line("%s %s: %s", strings.ToUpper(a.Works), day(a.Clock), strings.Join(down, ", "))
	for _, l := range wrap("PEOPLE  "+strings.Join(a.People, " "), 8, 3*len(a.Q.Stops)) {
		line("%s", l)
	}
	for i := range a.Q.Stops {
		st := &a.Q.Stops[i]
		e := st.Back
		if len(a.Q.Stops) > 1 {
			line("BACK    %s told %s / %s / %s", a.Units[i], day(st.Since.Add(e.Low)), day(st.Since.Add(e.Likely)), day(st.Since.Add(e.Bad)))
			continue
		}
		line("BACK    told %s / %s / %s: %s / %s / %s", hours(e.Low/3600), hours(e.Likely/3600), hours(e.Bad/3600),
			day(st.Since.Add(e.Low)), day(st.Since.Add(e.Likely)), day(st.Since.Add(e.Bad)))
	}
	line("%-24s %-15s %-15s %-15s %s", "WHAT COMES NEXT", "early", "likely", "late", "%")
	shown := 0
	var means []string
	var byRate []*futures.StoreOutlook
	anyway := false
	for i := range a.Stores {
		s := &a.Stores[i]
		w := s.When()
		if w.Chance < 0.05 || !s.ByTheStop() || shown == 7 {
			continue
		}
		shown++
		name := s.Name
		switch {
		case s.FullAt != nil:
			name += " full"
		default:
			name += " dry"
		}
		if s.Assumed {
			name += "*"
		}
		what := s.Name + ": " + s.Stops
		if s.Under > 0 {
			what = fmt.Sprintf("%s: under %s %s %s", s.Name, quantity.FormatNumber(s.Under, 0), s.Unit, s.Stops)
		}
		means = append(means, what)
		byRate = append(byRate, s)
		if s.Already {
			line("%-24s %-15s %-15s %-15s %s", name, "NOW", "", "", "100")
			continue
		}
		chance := share(w.Chance)
		if s.Without >= 0.05 {
			chance += "(" + share(s.Without) + ")"
			anyway = true
		}
		line("%-24s %-15s %-15s %-15s %s", name, at(a, w.Early), at(a, w.Likely), at(a, w.Late), chance)
	}
	if shown == 0 {
		line("nothing fills or runs dry because of it within %s, at standing orders", hours(a.Horizon))
	}
	if anyway {
		means = append([]string{"(%) without the stop"}, means...)
	}
	for _, l := range wrap("MEANS   "+strings.Join(means, "; "), 8, 2) {
		if len(means) > 0 {
			line("%s", l)
		}
	}
	byHand(a, byRate, line)
	if len(a.Moments) > 0 {
		line("%s", toBadEnd(a))
	}
	for _, m := range a.Moments {
		when := m.Clock
		if m.Hours != nil {
			when = fmt.Sprintf("%s %s", day(m.At), hours(*m.Hours))
			if m.Now {
				when = "NOW"
			}
		}
		line("%-18s %-17s %s", upper(m.Choice), when, m.Why)
	}
	if q := &a.Poured; q.Likely >= 0.5 {
		line("%-18s %-17s %s", "Poured back", fmt.Sprintf("%.0f / %.0f / %.0f heats", q.Low, q.Likely, q.High), "too cold or no caster, until the restart")
	}
	heatLines(a, line)
	if len(a.Calls) > 0 {
		var s []string
		for _, c := range a.Calls {
			s = append(s, c.Who)
		}
		for _, l := range wrap("CALL    "+strings.Join(s, ", "), 8, 2) {
			line("%s", l)
		}
	}
	tail := "* level not given, taken as normal in the works file: " + strings.Join(assumedShort(a), ", ")
	if len(a.Given) > 0 {
		tail += "; rate as given: " + strings.Join(a.Given, ", ")
	}
	left := Lines - strings.Count(b.String(), "\n") - 1
	for _, l := range wrap(tail, 2, max(1, left)) {
		line("%s", l)
	}
	line("Standing orders, %d futures, %s ahead. Planning aid; it never controls plant.", a.Futures, hours(a.Horizon))
	return b.String()
}

// assumedShort names the stores whose level was assumed, those behind the coil floor in
// one word unless one of them is to come to its end: there are lines to spare for no
// more.
func assumedShort(a *futures.HowLong) []string {
	var out []string
	seen := map[string]bool{}
	behind := false
	for _, shown := range [2]bool{true, false} {
		for i := range a.Stores {
			s := &a.Stores[i]
			comes := s.When().Chance >= 0.05 && s.ByTheStop()
			if !s.Assumed || seen[s.Name] || comes != shown {
				continue
			}
			seen[s.Name] = true
			if at, ok := a.Q.Plant.StoreNamed(s.Name); ok && !comes {
				if area := a.Q.Plant.StoreInfo(at).Area; area == "cold" || area == "dispatch" {
					behind = true
					continue
				}
			}
			out = append(out, fmt.Sprintf("%s %s %s", s.Name, quantity.FormatNumber(s.Normal, 0), s.Unit))
		}
	}
	if behind {
		out = append(out, "cold side")
	}
	return out
}

// toBadEnd heads the choices. What is likely and what the bad end asks for differ, and
// both are true.
func toBadEnd(a *futures.HowLong) string {
	st := &a.Q.Stops[0]
	s := fmt.Sprintf("TO BE SAFE UNTIL THE BAD END, %s", day(st.Since.Add(st.Back.Bad)))
	for i := range a.Stores {
		if o := &a.Stores[i]; o.Name == "slab yard" && o.FullAt != nil && o.FullAt.Chance >= 0.05 {
			return s + fmt.Sprintf("; the yard is full before it is back in %s of 100 futures", share(fullFirst(a, o.Name)))
		}
	}
	return s
}

// fullFirst is the share of futures in which the store is full before the first unit that
// stands is back. The table beside it counts later occasions too.
func fullFirst(a *futures.HowLong, store string) float64 {
	n := 0
	for b, x := range a.Q.Plant.Brinks() {
		if x.Name != store || !x.Full {
			continue
		}
		for f, at := range a.First[b] {
			if at < a.Ends[f] {
				n++
			}
		}
	}
	return float64(n) / float64(max(1, len(a.Ends)))
}

// byHand shows the rates behind the times, so that they can be worked out again.
func byHand(a *futures.HowLong, stores []*futures.StoreOutlook, line func(string, ...any)) {
	if len(stores) == 0 {
		return
	}
	who := "it stays"
	if len(a.Units) > 1 {
		who = "they stay"
	}
	line("BY HAND, while %s down: what comes and goes on average until then", who)
	for _, s := range stores {
		if s.Already {
			continue
		}
		line("  %-21s %s", s.Name, rateText(s))
	}
}

// rateText is level, room and rates of a store, and when they bring it to its end.
func rateText(s *futures.StoreOutlook) string {
	r := &s.Rates
	n := func(v float64) string {
		if s.Unit == "t" || s.Unit == "GJ" {
			return quantity.FormatNumber(math.Round(v), 0)
		}
		return fmt.Sprintf("%.1f", v)
	}
	b := fmt.Sprintf("%s of %s %s: ", n(s.Level), n(s.Room), s.Unit)
	if r.In == nil {
		b += fmt.Sprintf("%s %s/h in all", signed(n(r.Net), r.Net), s.Unit)
	} else {
		b += "in " + n(*r.In)
		if r.Unspaced > *r.In*1.05 {
			b += fmt.Sprintf(" (%s below %s)", n(r.Unspaced), n(r.SpacedFrom))
		}
		b += fmt.Sprintf(", out %s %s/h", n(*r.Out), s.Unit)
	}
	end := "full"
	if s.FullAt == nil {
		end = "dry"
	}
	if r.Hours < 0 {
		return b + ", not " + end + " within a day"
	}
	return b + fmt.Sprintf(", %s in %s", end, hours(r.Hours))
}

func signed(text string, v float64) string {
	if v > 0 {
		return "+" + text
	}
	return text
}

// heatLines lists the heats on their way, the one that must be opened first at the
// top, two a line; ladles that pour are only counted.
func heatLines(a *futures.HowLong, line func(string, ...any)) {
	var way []futures.HeatOutlook
	open := 0
	for _, h := range a.Heats {
		if h.OpenHours == nil {
			open++
		} else {
			way = append(way, h)
		}
	}
	sort.SliceStable(way, func(i, j int) bool { return *way[i].OpenHours < *way[j].OpenHours })
	line("HEATS*  %d on their way, %d open: K above liquidus now, open the ladle by", len(way), open)
	var cells []string
	for _, h := range way {
		cells = append(cells, fmt.Sprintf("%d %s +%.0f K %s %s", h.Heat, h.Caster, h.Above, day(h.OpenBy), hours(*h.OpenHours)))
	}
	for i := 0; i < len(cells) && i < 8; i += 2 {
		if i+1 < len(cells) {
			line("  %-37s %s", cells[i], cells[i+1])
		} else {
			line("  %s", cells[i])
		}
	}
}

// at writes a moment as clock time and hours from now.
func at(a *futures.HowLong, t calendar.Time) string {
	if t == calendar.Never {
		return "never"
	}
	return fmt.Sprintf("%s %s", day(a.Clock.Add(t.Seconds())), hours(t.Hours()))
}

var days = [...]string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}

func day(c quantity.Clock) string { return days[c.Weekday()] + " " + hhmm(c) }

func hhmm(c quantity.Clock) string {
	m := int(math.Round(c.HourOfDay() * 60))
	return fmt.Sprintf("%02d:%02d", m/60%24, m%60)
}

func hours(h float64) string {
	switch {
	case h < 1:
		return fmt.Sprintf("%.0f min", math.Round(h*60))
	case h < 10:
		return fmt.Sprintf("%.1f h", h)
	}
	return fmt.Sprintf("%.0f h", h)
}

func share(f float64) string { return fmt.Sprintf("%.0f", f*100) }

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// clip cuts a line that is too wide at a word.
func clip(s string) string {
	r := []rune(strings.TrimRight(s, " "))
	if len(r) <= Width {
		return string(r)
	}
	cut := string(r[:Width-1])
	if i := strings.LastIndexByte(cut, ' '); i > Width/2 {
		cut = cut[:i]
	}
	return strings.TrimRight(cut, " ,;") + "."
}

// wrap breaks text into at most most lines, the later ones indented.
func wrap(s string, indent, most int) []string {
	var out []string
	cur := ""
	for _, w := range strings.Fields(s) {
		lead := ""
		if len(out) > 0 {
			lead = strings.Repeat(" ", indent)
		}
		switch {
		case cur == "":
			cur = lead + w
			if len(out) == 0 && indent == 8 && strings.ToUpper(w) == w && len(w) < 8 {
				cur = w + strings.Repeat(" ", 7-len(w)) // a heading keeps its column
			}
		case len([]rune(cur))+1+len([]rune(w)) > Width:
			out = append(out, cur)
			cur = strings.Repeat(" ", indent) + w
		default:
			cur += " " + w
		}
	}
	if cur != "" {
		out = append(out, cur)
	}
	if len(out) > most {
		out = out[:most]
		last := []rune(out[most-1])
		if len(last) > Width-4 {
			last = last[:Width-4]
		}
		out[most-1] = strings.TrimRight(string(last), " ,;") + " ..."
	}
	return out
}
