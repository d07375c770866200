package scripting

import (
	"errors"
	"io/fs"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"millrace/scenarios"
	"millrace/scripting/decl"
	"millrace/sim/calendar"
	_ "millrace/sim/propseed"
)

// However a file is mangled, it is read or refused with problems that name a file;
// nothing panics.
func TestMangledFiles(t *testing.T) {
	alone(t)
	disk := DiskThen(scenarios.FS)
	files := []string{"scenarios/larkfell/works.lua", "scenarios/larkfell/orders.csv", "scenarios/larkfell/stand-wreck.lua", "scenarios/larkfell/breakout.lua"}
	numbers := []string{"0", "-1", "1e300", "nan", "0/0", "{}", "nil", `""`, `"0"`, "function () end", "\x00", "\"", "}", "="}
	rapid.Check(t, func(rt *rapid.T) {
		file := rapid.SampledFrom(files).Draw(rt, "file")
		source, err := fs.ReadFile(scenarios.FS, strings.TrimPrefix(file, "scenarios/"))
		if err != nil {
			rt.Fatal(err)
		}
		text := string(source)
		for range rapid.IntRange(1, 3).Draw(rt, "cuts") {
			at := rapid.IntRange(0, len(text)-1).Draw(rt, "at")
			n := min(rapid.IntRange(0, 30).Draw(rt, "length"), len(text)-at)
			text = text[:at] + rapid.SampledFrom(numbers).Draw(rt, "put") + text[at+n:]
		}
		scenario := "scenarios/larkfell/stand-wreck.lua"
		if strings.HasSuffix(file, "breakout.lua") {
			scenario = file
		}
		sc, err := LoadScenario(scenario, func(name string) ([]byte, error) {
			if name == file {
				return []byte(text), nil
			}
			return disk(name)
		})
		var p decl.Problems
		switch {
		case err == nil:
			if len(sc.Plans) > 0 { // it may even run
				w := sc.begin(&sc.Plans[len(sc.Plans)-1], 0)
				if err := w.Run(calendar.Hour); err != nil && (w.Director == nil || w.Director.(*Director).Err() == nil) {
					rt.Fatal(err)
				}
			}
		case !errors.As(err, &p):
			rt.Fatalf("%T: %v", err, err)
		case !strings.HasPrefix(p[0].Error(), "scenarios/larkfell/"):
			rt.Fatalf("no file in %v", p[0])
		}
	})
}

// Keys that may be left out, and that Larkfell leaves out.
func TestRareKeys(t *testing.T) {
	disk := DiskThen(scenarios.FS)
	w, err := LoadWorks("scenarios/larkfell/works.lua", func(name string) ([]byte, error) {
		data, err := disk(name)
		text := strings.Replace(string(data), `ladle_cools       = "0.5 C/min"`, `ladle_cools = "0.5 C/min", measured_on = "200 t"`, 1)
		text = strings.Replace(text, `yard = { low`, `people_place_heats = true, yard = { stop_tapping_below = "900 t", overflow_above = "24000 t", count_committed = true, low`, 1)
		text = strings.Replace(text, `emissivity = 0.55,`, `emissivity = 0.55, scale_factor = 1.3,`, 1)
		text = strings.Replace(text, `speed = "5.0 m/s",`, `speed = "5.0 m/s", torque = "3 MNm",`, 1)
		return []byte(text), err
	}, 0)
	if err != nil {
		t.Fatal(err)
	}
	s := &w.Spec
	if s.Shop.RefHeat != 2e5 || s.Standing.StopTapping != 9e5 || s.Standing.OverflowAbove != 24e6 || !s.Standing.CountCommitted || !s.Standing.KeepHeats ||
		s.Furnaces[0].ScaleFactor != 1.3 || math.Abs(s.Train.Train.Stands[0].MaxTorque-3e6) > 1e-6 {
		t.Errorf("%+v", s)
	}
}
