package scripting

import (
	"io/fs"
	"strings"
	"sync"
	"testing"

	"millrace/scenarios"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
)

const quietWreck = `scenario "test" {
  works = "larkfell", from = "2031-11-07 06:00", length = "4 d", background = false,
}
upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 12:00", lasts = "10 h",
  ruins = { "strip in the train", "bars behind it", "rolls" },
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h", next_word = "3 h", cause_found = "5 h" },
}
`

// written loads a scenario from its text.
func scenarioText(t testing.TB, text string) *Scenario {
	t.Helper()
	disk := DiskThen(scenarios.FS)
	sc, err := LoadScenario("test.lua", func(name string) ([]byte, error) {
		if name == "test.lua" {
			return []byte(text), nil
		}
		return disk(name)
	})
	if err != nil {
		t.Fatal(err)
	}
	return sc
}

// diary plays a plan of the quiet wreck and gives what it wrote down, with the hour.
func diary(t *testing.T, body string, hours int) []string {
	t.Helper()
	sc := scenarioText(t, quietWreck+"plan \"p\" (function (works)\nlocal function log(...) works:note(string.format('%.2f ', works:now()) .. string.format(...)) end\n"+body+"\nend)\n")
	w, _, _ := play(t, sc, &sc.Plans[0], 0, calendar.Time(hours)*calendar.Hour)
	var out []string
	for _, n := range w.Director.(*Director).Notes() {
		out = append(out, n.Text)
	}
	return out
}

func same(t *testing.T, got []string, want ...string) {
	t.Helper()
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// The told law has its tenth, median and ninetieth at 4, 8 and 26 h from the start.
// After 20 minutes nothing has changed to a tenth of an hour. After 3 h 20 min one in
// twenty of such stops would be over (half sd ln(8/4)/1.2816 = 0.541, z = -1.62), so
// the median of the rest is the quantile 0.526 of all: 8 exp(0.066 ln(26/8)/1.2816)
// = 8.5 h.
//
// A stop begins at hour 6, is told of 20 minutes later as 4, 8 and 26 h, and every
// 3 h after that; it is over at hour 16. The plan hears all that when people do.
func TestPlanHearsOfAStop(t *testing.T) {
	same(t, diary(t, `
  local stop = works:await_stop("finishing train")
  log("%s of the %s, began %.2f, heard %s", stop.kind, stop.unit, stop.began, tostring(stop.heard))
  log("first word %s", tostring(works:await(stop.first_word)))
  log("told %.1f %.1f %.1f, left %.2f %.2f", stop.told.low, stop.told.likely, stop.told.bad, stop.remaining_likely, stop.remaining_bad)
  log("next word %s", tostring(works:await(stop.next_word)))
  local before = stop.told.likely
  log("next word %s", tostring(works:await(stop.next_word)))
  log("longer than it seemed at first: %s", tostring(stop.told.likely > before))
  log("next word %s", tostring(works:await(stop.next_word)))
  log("next word %s, over %s", tostring(works:await(stop.next_word)), tostring(stop.over))
  log("runs again: %s", tostring(not works:unit("finishing train").stands))
`, 30),
		"6.00 stand wreck of the finishing train, began 6.00, heard false",
		"6.33 first word true",
		"6.33 told 4.0 8.0 26.0, left 7.67 25.67",
		"9.33 next word true",
		"12.33 next word true",
		"12.33 longer than it seemed at first: true",
		"15.33 next word true",
		"16.00 next word false, over true",
		"16.00 runs again: true")
}

// Every kind of wait goes on when it should.
func TestWaits(t *testing.T) {
	same(t, diary(t, `
  works:await("90 min")
  log("a length of time")
  works:await(hours(0.5))
  log("a number of hours")
  works:await_until("2031-11-07 09:15")
  log("a date, %s", works:clock())
  works:await_until("10:00")
  log("a time of day")
  works:await_until("2031-11-07 07:00")
  log("a time gone by does not wait")
  local met = works:await(function () return works:now() >= 5 end)
  log("a condition %s", tostring(met))
  met = works:await(function () return false end, "for at most 30 min")
  log("a condition that never holds %s", tostring(met))
  local works2 = works:await_restart("finishing train")
  log("a unit that runs %s", type(works2))
  local stop = works:await_stop("hot mill", "8.5 h")
  log("a stop that is told to be long, likely %.1f", stop.told.likely)
  log("restart in time %s", tostring(works:await_restart("finishing train", "1 h")))
  works:await_restart("hot mill")
  log("restart")
`, 30),
		"1.50 a length of time",
		"2.00 a number of hours",
		"3.25 a date, 2031-11-07 09:15",
		"4.00 a time of day",
		"4.00 a time gone by does not wait",
		"5.00 a condition true",
		"5.50 a condition that never holds false",
		"5.50 a unit that runs userdata",
		"9.33 a stop that is told to be long, likely 8.5",
		"10.33 restart in time false",
		"16.00 restart")
}

// Levers act, and a refusal is told with its reason and never stops a plan.
func TestLevers(t *testing.T) {
	same(t, diary(t, `
  local function say(what, ok, why) log("%s %s %s", what, tostring(ok), why or "") end
  local c = works:caster("C1")
  say("slow", c:slow_to("60 %"))
  log("ordered %.2f of normal", c.ordered / c.normal)
  say("too slow", c:slow_to("0.2 m/min"))
  say("too fast", c:speed_to("3 m/min"))
  say("normal", c:normal_speed())
  log("ordered %.2f of normal", c.ordered / c.normal)
  say("back, while it runs", works:furnaces():set_back("deep"))
  say("one furnace", works:furnace("F1"):set_back(1))
  say("no such step", works:furnace("F1"):set_back(9))
  say("forward", works:furnaces():forward())
  say("rolls", works:change_rolls())
  say("planned stop", works:pull_planned_stop("hot mill"))
  say("wind", works:iron():cut_wind_to("10 %"))
  say("wind", works:iron():cut_wind_to("70 %"))
  log("wind %.2f", works:iron().wind)
  say("full wind", works:iron():full_wind())
  say("as usual", works:iron():as_usual())
  say("overflow", works:overflow():close())
  say("overflow", works:overflow():open())
  log("open %s", tostring(works:overflow().is_open))
  say("charge", works:charge("oldest first"))
  say("charge", works:charge("as they lie"))
  say("ramp", works:restart_ramp { pace = "10 %", slabs = 6 })
  say("ramp", works:restart_ramp { pace = "70 %", slabs = 6 })
  say("resume", works:resume_tapping())
  say("stop tapping", works:stop_tapping())
  say("stop tapping", works:stop_tapping())
  say("reopen", c:reopen())
  say("end", c:end_sequence())
  log("closed %s", tostring(c.closed))
  for _, h in ipairs(works:heats()) do
    if h.stage == "open" then
      say("open heat", h:return_heat())
      break
    end
  end
`, 1),
		"0.00 slow true ",
		"0.00 ordered 0.60 of normal",
		"0.00 too slow false below the least speed: the nozzle would freeze, at least 0.70 m/min",
		"0.00 too fast false faster than this steel may be cast on this machine, now at most 1.40 m/min",
		"0.00 normal true ",
		"0.00 ordered 1.00 of normal",
		"0.00 back, while it runs true ",
		"0.00 one furnace true ",
		"0.00 no such step false there is no such set-back step",
		"0.00 forward true ",
		"0.00 rolls false the mill is running; it can be done while the mill stands",
		"0.00 planned stop false the mill is running; it can be done while the mill stands",
		"0.00 wind false outside lowest wind to full wind, 62 % to 100 %",
		"0.00 wind true ",
		"0.00 wind 0.70",
		"0.00 full wind true ",
		"0.00 as usual true ",
		"0.00 overflow false the overflow yard is not open",
		"0.00 overflow true ",
		"0.00 open true",
		"0.00 charge false it is already so",
		"0.00 charge true ",
		"0.00 ramp false the pace must lie between 30 % and 100 %",
		"0.00 ramp true ",
		"0.00 resume false tapping is not stopped",
		"0.00 stop tapping true ",
		"0.00 stop tapping false it is already so",
		"0.00 reopen false it is already so",
		"0.00 end true ",
		"0.00 closed true",
		"0.00 open heat false the ladle is open: it can only be cast or its sequence ended")
}

// What a plan sees of stores, heats and units is what the works has.
func TestViews(t *testing.T) {
	same(t, diary(t, `
  local yard = works:store("slab yard")
  log("at its normal level %s", tostring(math.abs(yard.level - yard.normal) < 30 and math.abs(yard.full - yard.level / yard.room) < 1e-9))
  log("adds up %s", tostring(math.abs(yard.level + yard.free - yard.room) < 60))
  log("band %s", tostring(yard.low < yard.normal and yard.normal < yard.high and yard.high <= yard.room and yard.room > 10000 and yard.room < 100000))
  log("slabs %s", tostring(slabs(120) > tonnes(2500) and slabs(120) < tonnes("3 kt")))
  log("gas %d GJ", works:store("fuel gas").room)
  log("torpedoes agree %s", tostring(works:store("torpedoes").level == works:iron().torpedoes))
  local n = 0
  for _, h in ipairs(works:heats()) do
    n = n + 1
    assert(h.stage ~= "gone" and h.above_liquidus > 0 and h.hours_left > 0)
  end
  log("some heats in flight %s", tostring(n >= 1))
  log("C1 %s, table has room %s", works:caster("C1").phase, tostring(works:caster("C1").table_free > 0))
  local f = works:furnace("F1")
  log("F1 nearly full %s, %d below, step %d", tostring(f.slabs > 0.85 * f.places and f.slabs <= f.places), f.below, f.step)
`, 1),
		"0.00 at its normal level true",
		"0.00 adds up true",
		"0.00 band true",
		"0.00 slabs true",
		"0.00 gas 1100 GJ",
		"0.00 torpedoes agree true",
		"0.00 some heats in flight true",
		"0.00 C1 casting, table has room true",
		"0.00 F1 nearly full true, 0 below, step 0")
}

// A plan that looks at everything and orders nothing is standing orders, record for
// record; so is {}, and so is a plan that failed before it ordered anything.
func TestLookingChangesNothing(t *testing.T) {
	sc := scenarioText(t, quietWreck+`
plan "carry on" {}
plan "look" (function (works)
  works:await(function ()
    local x = works:store("slab yard").free + works:caster("C1").speed + works:now() + #works:heats()
    return x < 0
  end)
end)
plan "watch" (function (works)
  while true do
    local stop = works:await_stop("hot mill")
    works:await(stop.first_word)
    works:await_restart("hot mill")
  end
end)
plan "fail" (function (works) works:await("7 h") error("no") end)
`)
	_, none, n := play(t, sc, nil, 3, 2*calendar.Day)
	for i := range sc.Plans[:3] {
		if _, d, m := play(t, sc, &sc.Plans[i], 3, 2*calendar.Day); d != none || m != n {
			t.Errorf("%s: %d records %s, standing orders %d %s", sc.Plans[i].Name, m, d, n, none)
		}
	}
	w := sc.begin(&sc.Plans[3], 3)
	var digest record.Digest
	w.Sink = &digest
	if err := w.Run(2 * calendar.Day); err == nil {
		t.Error("the run goes on after its plan has failed")
	}
	if err := w.Director.(*Director).Err(); err == nil || !strings.Contains(err.Error(), "test.lua:") {
		t.Errorf("error %v, want one with file and line", err)
	}
}

// Two truths that people are told the same of look the same to a plan until one of
// them is over.
func TestPlansDoNotSeeTheTruth(t *testing.T) {
	truth := func(lasts string) []string {
		text := strings.ReplaceAll(quietWreck, `lasts = "10 h"`, `lasts = "`+lasts+`"`)
		text = strings.ReplaceAll(text, `, cause_found = "5 h"`, "")
		sc := scenarioText(t, text+`plan "p" (function (works)
  local stop = works:await_stop("finishing train")
  works:await(stop.first_word)
  while works:now() < 15 do
    works:note(works:now() .. " " .. stop.told.low .. " " .. stop.told.likely .. " " .. stop.told.bad .. " " .. stop.remaining_likely .. tostring(stop.over))
    works:await("10 min")
  end
end)`)
		w, _, _ := play(t, sc, &sc.Plans[0], 0, calendar.Day)
		var out []string
		for _, n := range w.Director.(*Director).Notes() {
			out = append(out, n.Text)
		}
		return out
	}
	a, b := truth("10 h"), truth("60 h")
	if len(a) < 40 {
		t.Fatalf("%d notes", len(a))
	}
	same(t, a, b...)
}

// Luck in a plan is its future's own: the same again, another in another future.
func TestLuckInPlans(t *testing.T) {
	sc := scenarioText(t, quietWreck+`
plan "p" (function (works) for i = 1, 3 do works:note(tostring(math.random(1000000))) end end)
plan "q" (function (works) for i = 1, 3 do works:note(tostring(math.random(1000000))) end end)`)
	draw := func(plan int, future uint64) string {
		w, _, _ := play(t, sc, &sc.Plans[plan], future, calendar.Minute)
		text := ""
		for _, n := range w.Director.(*Director).Notes() {
			text += n.Text + " "
		}
		return text
	}
	if a, b := draw(0, 1), draw(0, 1); a != b || len(a) < 6 {
		t.Errorf("%q then %q", a, b)
	}
	if a, b := draw(0, 1), draw(0, 2); a == b {
		t.Errorf("futures 1 and 2 draw the same: %q", a)
	}
	if a, b := draw(0, 1), draw(1, 1); a == b {
		t.Errorf("two plans draw the same: %q", a)
	}
}

// Directors on several goroutines give what they give on one.
func TestManyAtOnce(t *testing.T) {
	sc, err := LoadScenario("scenarios/larkfell/stand-wreck.lua", DiskThen(scenarios.FS))
	if err != nil {
		t.Fatal(err)
	}
	const n = 4
	one := make([]string, n*len(sc.Plans))
	for i := range one {
		_, one[i], _ = play(t, sc, &sc.Plans[i/n], uint64(i%n), calendar.Day)
	}
	many := make([]string, len(one))
	var wg sync.WaitGroup
	for k := range 4 {
		wg.Go(func() {
			for i := k; i < len(many); i += 4 {
				_, many[i], _ = play(t, sc, &sc.Plans[i/n], uint64(i%n), calendar.Day)
			}
		})
	}
	wg.Wait()
	for i := range one {
		if one[i] != many[i] {
			t.Errorf("%s, future %d: %s alone, %s among others", sc.Plans[i/n].Name, i%n, one[i], many[i])
		}
	}
}

// A bundle holds every file, and reading it again gives the same scenario.
func TestBundle(t *testing.T) {
	a, err := LoadScenario("scenarios/larkfell/stand-wreck.lua", DiskThen(scenarios.FS))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range a.Files {
		names = append(names, f.Name)
		data, err := fs.ReadFile(scenarios.FS, strings.TrimPrefix(f.Name, "scenarios/"))
		if err != nil || string(data) != string(f.Data) || len(f.SHA256) != 64 {
			t.Errorf("%s: %v, checksum %s", f.Name, err, f.SHA256)
		}
	}
	same(t, names, "scenarios/larkfell/stand-wreck.lua", "scenarios/larkfell/works.lua", "scenarios/larkfell/orders.csv")
	b, err := LoadScenario(a.File, a.Bundle.Load)
	if err != nil {
		t.Fatal(err)
	}
	if a.Inputs() != b.Inputs() {
		t.Error("the bundle's own fingerprint differs")
	}
	_, da, _ := play(t, a, &a.Plans[1], 2, 20*calendar.Hour)
	_, db, _ := play(t, b, &b.Plans[1], 2, 20*calendar.Hour)
	if da != db {
		t.Error("the scenario from the bundle runs otherwise")
	}
}

func BenchmarkDirector(b *testing.B) {
	sc := scenarioText(b, quietWreck+`plan "p" (function (works) works:await_stop("finishing train") end)`)
	w := sc.begin(nil, 0)
	b.ReportAllocs()
	for b.Loop() {
		d := sc.Plans[0].Director(chance.Luck{})
		d.Wants()
		d.Ask(w)
	}
}

// BenchmarkLooking is a plan with a condition asked each minute of a day.
func BenchmarkLooking(b *testing.B) {
	sc := scenarioText(b, quietWreck+`
plan "p" (function (works) works:await(function () return works:store("slab yard").free < slabs(1) end) end)`)
	for b.Loop() {
		play(b, sc, &sc.Plans[0], 0, calendar.Day)
	}
}

func BenchmarkNotLooking(b *testing.B) {
	sc := scenarioText(b, quietWreck)
	for b.Loop() {
		play(b, sc, nil, 0, calendar.Day)
	}
}

// The levers of the cold side act where there is one; other works refuse them with
// the reason.
func TestColdLevers(t *testing.T) {
	const plan = `
  local function say(what, ok, why) log("%s %s %s", what, tostring(ok), why or "") end
  say("cool", works:coil_yard():force_cooling())
  say("cool", works:coil_yard():natural_cooling())
  say("slower", works:pickle_line():speed_to("60 %"))
  say("too slow", works:pickle_line():speed_to("20 %"))
  say("normal", works:pickle_line():normal_speed())
  say("outside", works:pickle_line():send_outside())
  say("inside", works:pickle_line():keep_inside())
  say("temper", works:temper_mill():skip())
  say("temper", works:temper_mill():as_usual())
  say("due", works:dispatch():by_due_date())
  say("due", works:dispatch():by_due_date())
  say("lie", works:dispatch():as_they_lie())
  say("overtime", works:overtime():begin())
  say("overtime", works:overtime():finish())
  say("overtime", works:overtime():finish())
`
	const no = " false the works ends at the coil floor"
	const works = `works = "larkfell"`
	on := func(file string) []string {
		text := strings.Replace(quietWreck, works, `works = "`+file+`"`, 1)
		sc := scenarioText(t, text+"plan \"p\" (function (works)\nlocal function log(...) works:note(string.format('%.2f ', works:now()) .. string.format(...)) end\n"+plan+"\nend)\n")
		w, _, _ := play(t, sc, &sc.Plans[0], 0, calendar.Hour)
		var out []string
		for _, n := range w.Director.(*Director).Notes() {
			out = append(out, n.Text)
		}
		return out
	}
	same(t, on("testdata/rates/works.lua"),
		"0.00 cool false there are no fans on the coil floor", "0.00 cool false there are no fans on the coil floor",
		"0.00 slower"+no, "0.00 too slow"+no, "0.00 normal"+no, "0.00 outside"+no, "0.00 inside"+no, "0.00 temper"+no, "0.00 temper"+no,
		"0.00 due"+no, "0.00 due"+no, "0.00 lie"+no, "0.00 overtime"+no, "0.00 overtime"+no, "0.00 overtime"+no)

	same(t, on("testdata/cold/works.lua"),
		"0.00 cool true ", "0.00 cool true ",
		"0.00 slower true ", "0.00 too slow false the process speed must lie between 30 % and 125 %", "0.00 normal true ",
		"0.00 outside true ", "0.00 inside true ", "0.00 temper true ", "0.00 temper true ",
		"0.00 due true ", "0.00 due false it is already so", "0.00 lie true ",
		"0.00 overtime true ", "0.00 overtime true ", "0.00 overtime false it is already so")
}
