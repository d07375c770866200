package scripting

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"millrace/scenarios"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

func larkfell(t testing.TB, from quantity.Clock) *Works {
	t.Helper()
	w, err := LoadWorks("scenarios/larkfell/works.lua", DiskThen(scenarios.FS), from)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// The works file can say everything the works can be told: no field of the Spec is
// left at zero by Larkfell, and by a works with a cold side, but those named here.
func TestEveryFieldIsRead(t *testing.T) {
	w := larkfell(t, 0)
	c := coldfell(t)
	set := map[string]bool{}
	var walk func(path string, v reflect.Value)
	walk = func(path string, v reflect.Value) {
		switch v.Kind() {
		case reflect.Struct:
			if v.Type().PkgPath() == "millrace/sim/chance" {
				set[path] = set[path] || !v.IsZero()
				return
			}
			for i := range v.NumField() {
				walk(path+"."+v.Type().Field(i).Name, v.Field(i))
			}
		case reflect.Pointer:
			if !v.IsNil() {
				walk(path, v.Elem())
			}
		case reflect.Slice:
			set[path] = set[path] || v.Len() > 0
			for i := range v.Len() {
				walk(path+"[]", v.Index(i))
			}
		default:
			set[path] = set[path] || !v.IsZero()
		}
	}
	walk("", reflect.ValueOf(w.Spec))
	walk("", reflect.ValueOf(works.Spec{Cold: c.Spec.Cold, Products: c.Spec.Products, CoilYard: c.Spec.CoilYard}))
	may := []string{
		// zero is what Larkfell means
		".Standing.ChargeRule", ".Standing.FansBelow", ".Standing.FansUntil", ".Standing.StopTapping", ".Standing.OverflowAbove", ".Standing.CountCommitted", ".Standing.KeepHeats", ".Conveyor.Normal.Low", ".Furnaces[].ScaleFactor",
		".Train.Train.Stands[].MaxTorque", ".Train.Train.MinEntryC", ".Rougher.Mill.MinPasses",
		// a measured rate in place of the equipment, see TestWorksByRates
		".Shop.Rate", ".Casters[].Rate", ".Furnaces[].Rate", ".Rougher.Rate", ".Train.Rate",
		".Cold.Pickle.Rate", ".Cold.Mill.Rate", ".Cold.Anneal.Rate", ".Cold.Temper.Rate", // see TestColdByRates
		// choices of model that no file makes
		".Rougher.Mill.Flow", ".Rougher.Mill.Pressure", ".Train.Train.Flow", ".Train.Train.Pressure", ".Train.Train.RunOut", ".Cold.Mill.Mill.Model",
		// what a works has no use for: welds within a coil, a base left under its bare cover
		".Cold.Mill.Mill.WeldSpeed", ".Cold.Mill.Mill.WeldLength", ".Cold.Anneal.Recipe.StillTime", ".Cold.Anneal.Recipe.StillFilm",
		// what only a case asks: a book known week by week
		".Orders[].Known",
		// of upsets that a scenario makes happen, not of those in the background
		".Upsets[].At", ".Upsets[].Elapsed", ".Upsets[].Scripted", ".Upsets[].Told.Given", ".Upsets[].Told.Low", ".Upsets[].Told.Likely", ".Upsets[].Told.Bad",
	}
	var zero []string
	for path, ok := range set {
		if !ok && !slices.Contains(may, path) {
			zero = append(zero, path)
		}
	}
	slices.Sort(zero)
	if len(zero) > 0 {
		t.Errorf("never set:\n%s", strings.Join(zero, "\n"))
	}
}

// Quantities arrive in SI units, temperatures in C, analyses in per cent.
func TestUnits(t *testing.T) {
	w, err := LoadWorks("testdata/rates/works.lua", DiskThen(nil), 0)
	if err != nil {
		t.Fatal(err)
	}
	s := &w.Spec
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"ambient", s.Ambient, 20},
		{"slab thickness", s.SlabThick, 0.23},
		{"carbon", s.Grades[0].Comp.C, 0.06},
		{"share", s.Products[0].Share, 0.6},
		{"margin", s.Products[0].Margin, 0.11},
		{"coiling temperature", s.Products[1].CoilTemp, 620},
		{"hot metal", s.Iron.Rate, 440.0 / 3.6},
		{"torpedoes", s.Iron.Torpedo.Room, 3.2e6},
		{"two vessels at 620 t/h", s.Shop.BlowTime, 2 * 250 / 620.0 * 3600},
		{"lift", s.Yard.LiftTime, 180},
		{"gas holder", s.Gas.Holder.Normal, 5e11},
		{"flared", s.Gas.FlareCost, 4e-9},
		{"reheat power", s.Costs.ReheatPower, 90 / 3.6e9},
		{"overtime", s.Costs.Overtime, 0.25},
		{"run-out cooling", s.RunOut.H, 1300},
		{"set back after", s.Standing.SetBackAfter, 1800},
		{"pickle line", s.Demand.Pickle, 230 / 3.6},
		// A strand of 1.35 m by 0.23 m at 300 t/h over two strands.
		{"C1 normal", s.Casters[0].Normal, 300 / 3.6 / (2 * 1.35 * 0.23 * 7850)},
	} {
		if math.Abs(c.got-c.want) > 1e-9*math.Abs(c.want) {
			t.Errorf("%s is %g, want %g", c.what, c.got, c.want)
		}
	}
	if s.Currency != "EUR" || !s.Invented || s.Products[1].Name != "B" || !s.Products[1].Pickled || s.Products[0].Pickled {
		t.Errorf("%+v", s.Products)
	}
}

// Dates in a works file are counted from the start of the run; the rhythm of a
// planned stop counts, not the year it was written in.
func TestDates(t *testing.T) {
	from, err := quantity.ParseClock("2031-11-07 06:00")
	if err != nil {
		t.Fatal(err)
	}
	w := larkfell(t, from)
	text := string(w.Files[0].Data)
	text = strings.Replace(text, `{ unit = "hot mill", every`, `{ unit = "hot mill", first = "2031-10-28 18:00", every`, 1)
	text = strings.Replace(text, `{ unit = "C1",       every`, `{ unit = "C1", first = "5 d", every`, 1)
	x, err := LoadWorks(w.File, func(name string) ([]byte, error) {
		if name == w.File {
			return []byte(text), nil
		}
		return []byte("\ufefforder_id, product, tonnes, due_date, customer_class, penalty_pct_week, penalty_cap_pct\n" +
			"# a remark\nA2,P02,\"1,200\",2031-11-09,contract,1,5\nA1,P01,500,2031-11-08 06:00,,,\n"), nil
	}, from)
	if err != nil {
		t.Fatal(err)
	}
	p := x.Spec.Planned
	if p[0].First != 86400*(14-9.5) || p[1].First != 5*86400 || p[2].First != -1 {
		t.Errorf("planned stops begin after %v, %v, %v s", p[0].First, p[1].First, p[2].First)
	}
	got := fmt.Sprint(x.Spec.Orders)
	want := fmt.Sprint([]works.OrderLine{
		{ID: "A1", Product: 0, Mass: 5e5, Due: 86400},
		{ID: "A2", Product: 1, Mass: 1.2e6, Due: 86400 * 1.75, Class: "contract", Penalty: 0.01, Cap: 0.05},
	})
	if got != want {
		t.Errorf("got %s\nwant %s", got, want)
	}
}

// The standing orders' charging rule, ruins and laws are read as the words they are.
func TestWords(t *testing.T) {
	sc := scenarioText(t, `scenario "words" { works = "larkfell", from = "2031-11-07 06:00", length = "2 d",
  longest = "9 d", demand = "book only", background = false, futures = 50, seed = 7,
  levels = { ["slab yard"] = "20000 t", conveyor = 20 }, expect = { best = "carry on" } }
upset "the big one" { kind = "bad cobble", at = "2031-11-07 08:00", lasts = told { low = "1 h", likely = "2 h", bad = "5 h" },
  ruins = { "strip in the train", "bars behind it", "rolls", "last pieces" }, told = { after = "10 min", bias = 0.5 },
  comes_back = { pace = "60 %", for_ = "2 h" }, downgrades = 3 }
upset "descaling pump lost" { at = "2031-11-07 06:00", has_lasted = "20 min", lasts = weibull { shape = 2, mean = "3 h" }, slow = "70 %" }
plan "carry on" {}`)
	a, b := sc.Script[0], sc.Script[1]
	switch {
	case sc.SoldOut || sc.Background || sc.Futures != 50 || sc.Seed != 7 || sc.Length != 2*86400 || sc.Longest != 9*86400:
		t.Errorf("scenario %+v", sc)
	case a.Kind != works.BadCobble || a.Unit != "finishing train" || a.At != 7200 || a.Ruins != works.RuinPiece|works.RuinBehind|works.RuinRolls|works.RuinLast ||
		a.Told.After != 600 || a.Told.Bias != 0.5 || a.Told.Given || math.Abs(a.ComesBack-0.6) > 1e-9 || a.BackFor != 7200 || a.Downgrades != 3 || !a.Scripted:
		t.Errorf("%+v", a)
	case math.Abs(a.Lasts.Median()-7200) > 1e-6 || math.Abs(a.Lasts.Quantile(0.9)-18000) > 1e-3:
		t.Errorf("law %v", a.Lasts)
	case b.Elapsed != 1200 || math.Abs(b.Slow-0.7) > 1e-9 || math.Abs(b.Lasts.Mean()-10800) > 1e-6:
		t.Errorf("%+v", b)
	case sc.Expect.Best != "carry on" || !sc.Plans[0].Empty:
		t.Errorf("%+v", sc.Expect)
	}
	yard, _ := sc.Works.Plant.StoreNamed("slab yard")
	conveyor, _ := sc.Works.Plant.StoreNamed("conveyor")
	if g := sc.Levels[yard]; g != 20000e6 {
		t.Errorf("slab yard starts at %d g", g)
	}
	if g := float64(sc.Levels[conveyor]); math.Abs(g/sc.Works.Plant.Route.Places[conveyor].PerAmount-20) > 1e-6 {
		t.Errorf("conveyor starts at %g g", g)
	}
	w := sc.begin(nil, 0)
	if v, _ := w.Stock("slab yard"); math.Abs(v.Level-2e7) > 3e4 {
		t.Errorf("the run starts with %g kg in the yard", v.Level)
	}
}
