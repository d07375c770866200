package scripting

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"millrace/sim/calendar"
)

// A plan reads of the cold side what the works shows, and the parts add up.
func TestColdLooks(t *testing.T) {
	sc := scenarioText(t, quietWreck+`plan "p" (function (works)
  works:await("3 h")
  local y, p, a, m = works:coil_yard(), works:pickle_line(), works:annealing(), works:temper_mill()
  works:note("cool " .. y.cool .. " " .. works:store("cool coils to pickle").level + works:store("cool hot band").level)
  works:note("yard " .. y.cool + y.cooling .. " " .. works:store("coil yard").level)
  works:note("bases " .. a.bases .. " " .. a.empty + a.heating + a.cooling + a.standing .. " to " .. a.bases)
  works:note("bells " .. a.bells - a.bells_free + 1 .. " over " .. a.heating)
  works:note("annealed " .. m.ready + m.on_floor .. " " .. works:store("annealed coils").level)
  works:note("nothing " .. y:cool_within("0 s") .. " 0")
  works:note("grows " .. y:cool_within("10 d") .. " over " .. y:cool_within("24 h"))
  works:note("acid " .. p.acid .. " 1")
  works:note("ordered " .. p.ordered .. " 1")
  works:note("oldest " .. works:store("pickled coils").oldest .. " to 24")
  p:send_outside()
  works:dispatch():by_due_date()
  works:overtime():begin()
  works:temper_mill():skip()
  works:coil_yard():force_cooling()
  works:await("5 h")
  local all = p.sends_outside and works:dispatch().due_first and works:overtime().worked and m.skipped and y.forced
  works:note("told " .. (all and 1 or 0) .. " 1")
  works:note("away " .. p.away .. " over 100")
  works:note("next " .. y.next_cool .. " to 24")
end)`)
	w := sc.begin(&sc.Plans[0], 0)
	if err := w.Run(10 * calendar.Hour); err != nil {
		t.Fatal(err)
	}
	d := w.Director.(*Director)
	if len(d.notes) != 13 {
		t.Fatalf("%d notes: %v", len(d.notes), d.notes)
	}
	for _, n := range d.notes {
		checkLook(t, n.Text)
	}
	if v := w.PickleLine(); !(v.Looper > 10 && v.Looper < 600) {
		t.Errorf("the entry looper holds %.0f s", v.Looper)
	}
	if v := w.Annealing(); v.Heating < 5 || v.Cooling < 1 {
		t.Errorf("%+v", v)
	}
	if math.IsNaN(w.Dispatch().Late) {
		t.Error("late is no number")
	}
}

// checkLook reads "name x y" (equal), "name x to y" (at most) or "name x over y".
func checkLook(t *testing.T, text string) {
	t.Helper()
	f := strings.Fields(text)
	at := func(i int) float64 {
		x, err := strconv.ParseFloat(f[i], 64)
		if err != nil {
			t.Errorf("%s: %v", text, err)
		}
		return x
	}
	ok := false
	switch {
	case len(f) == 3:
		ok = math.Abs(at(1)-at(2)) <= 1e-6*math.Max(1, math.Abs(at(2)))
	case f[2] == "to":
		ok = at(1) >= 0 && at(1) <= at(3)
	case f[2] == "over":
		ok = at(1) > at(3)
	default: // a sum of parts and what it may come to
		ok = at(2) <= at(4) && at(2) > 0
	}
	if !ok {
		t.Error(text)
	}
}
