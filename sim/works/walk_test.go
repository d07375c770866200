package works

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
)

// references returns the paths inside t that are not plain values or slices of
// them, and the paths of slices in slices, which a copy of the outer slice shares.
func references(t reflect.Type, path string, inSlice bool) (out []string) {
	switch t.Kind() {
	case reflect.Struct:
		for i := range t.NumField() {
			f := t.Field(i)
			out = append(out, references(f.Type, path+"."+f.Name, inSlice)...)
		}
		return out
	case reflect.Array:
		return references(t.Elem(), path+"[]", inSlice)
	case reflect.Slice:
		if inSlice {
			out = append(out, path+" is a slice in a slice")
		}
		return append(out, references(t.Elem(), path+"[]", true)...)
	case reflect.Bool, reflect.Float32, reflect.Float64,
		reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64,
		reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return nil
	}
	return append(out, path+" is a "+t.Kind().String())
}

// slicesIn returns the paths of the slices in t.
func slicesIn(t reflect.Type, path string) (out []string) {
	switch t.Kind() {
	case reflect.Struct:
		for i := range t.NumField() {
			f := t.Field(i)
			out = append(out, slicesIn(f.Type, path+"."+f.Name)...)
		}
	case reflect.Array:
		return slicesIn(t.Elem(), path+"[]")
	case reflect.Slice:
		return []string{path}
	}
	return out
}

// TestStateIsAValue walks the type: no pointer, map, function, interface, channel
// or string anywhere, no slice inside a slice.
func TestStateIsAValue(t *testing.T) {
	state := reflect.TypeFor[State]()
	for _, r := range references(state, "State", false) {
		t.Error(r)
	}
	if n := len(slicesIn(state, "State")); n < 8 {
		t.Errorf("the walk met only %d slices", n)
	}
	type bad struct {
		A []struct{ P *int }
		B [2]map[int]int
		C func()
		D any
		E chan int
		F string
		G [][]int
		H [3]struct{ I []struct{ J [2][]int8 } }
		K uintptr
		L error
	}
	want := "bad.A[].P is a ptr, bad.B[] is a map, bad.C is a func, bad.D is a interface, bad.E is a chan, bad.F is a string, bad.G[] is a slice in a slice, bad.H[].I[].J[] is a slice in a slice, bad.K is a uintptr, bad.L is a interface"
	if got := strings.Join(references(reflect.TypeFor[bad](), "bad", false), ", "); got != want {
		t.Errorf("the walk found\n%s\nwant\n%s", got, want)
	}
}

// TestCopySharesNoMemory copies a busy works and compares the addresses behind
// every slice of the two states.
func TestCopySharesNoMemory(t *testing.T) {
	w, _ := busy(t, stressed(t), 3)
	if err := w.Run(6 * calendar.Day); err != nil {
		t.Fatal(err)
	}
	var c Works
	c.CopyFrom(w)
	// As text, in which an empty slice is an empty slice and every bit of a float counts.
	if a, b := fmt.Sprintf("%v", &w.S), fmt.Sprintf("%v", &c.S); a != b {
		t.Error("the copy's state is not equal to the original's")
	}
	n := 0
	pairs(reflect.ValueOf(&w.S).Elem(), reflect.ValueOf(&c.S).Elem(), "State", func(path string, a, b reflect.Value) {
		n++
		if a.Len() != b.Len() {
			t.Errorf("%s: %d, copied %d", path, a.Len(), b.Len())
		}
		if a.Len() == 0 && path != "State.Net.free" {
			t.Errorf("%s is empty: the test sees nothing of it", path)
		}
		if a.Cap() > 0 && a.Pointer() == b.Pointer() {
			t.Errorf("%s is shared by a works and its copy", path)
		}
	})
	if want := len(slicesIn(reflect.TypeFor[State](), "State")); n < want {
		t.Errorf("%d slices compared, the type has %d", n, want)
	}
}

// pairs calls f for every slice of two equal values of one type.
func pairs(a, b reflect.Value, path string, f func(path string, a, b reflect.Value)) {
	switch a.Kind() {
	case reflect.Struct:
		for i := range a.NumField() {
			pairs(a.Field(i), b.Field(i), path+"."+a.Type().Field(i).Name, f)
		}
	case reflect.Array:
		for i := range a.Len() {
			pairs(a.Index(i), b.Index(i), path+"[]", f)
		}
	case reflect.Slice:
		f(path, a, b)
	}
}

// stressed is a works of the whole route with upsets of every kind, planned stops and order lines.
func stressed(t testing.TB) *Plant {
	t.Helper()
	s := testColdSpec()
	s.Upsets = append(testUpsets(), testColdUpsets()...)
	s.Planned = []PlannedSpec{
		{Unit: "hot mill", First: -1, Every: 14 * 86400, Lasts: 12 * 3600, Movable: true, Earliest: 10 * 86400},
		{Unit: "C1", First: -1, Every: 14 * 86400, Lasts: 12 * 3600, Movable: true, Earliest: 10 * 86400},
	}
	for i := range s.Products {
		s.Orders = append(s.Orders, OrderLine{ID: s.Products[i].Name + "-1", Product: i, Mass: 4e6, Due: float64(1+i%5) * 86400, Class: "contract", Penalty: .01, Cap: .1})
	}
	p, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// busy begins a works with upsets, and with a monkey at the levers of its own in
// every second future.
func busy(t testing.TB, p *Plant, future uint64) (*Works, *monkey) {
	t.Helper()
	luck := chance.Luck{Seed: 11, Future: future}
	script := []UpsetSpec{{Kind: StandWreck, Name: "stand wreck", Unit: "finishing train", At: 2 * 86400, Scripted: true,
		Lasts: law(chance.Lognormal(30*3600, 40*3600)), Ruins: RuinPiece | RuinBehind | RuinRolls, ComesBack: .6, BackFor: 7200,
		Told: ToldSpec{Given: true, After: 1200, Low: 4 * 3600, Likely: 8 * 3600, Bad: 26 * 3600, NextWord: 3 * 3600, CauseFound: 9 * 3600}}}
	w := Begin(p, Start{Luck: luck, Script: script, Background: true, SoldOut: true})
	if future%2 == 0 {
		return w, nil
	}
	m := &monkey{luck: luck}
	w.Director = m
	return w, m
}

// play runs on to until, in steps, into the digest.
func play(t testing.TB, w *Works, d *record.Digest, until, step calendar.Time) {
	t.Helper()
	w.Sink = d
	for now := w.Now(); now < until; {
		now = min(now+step, until)
		if err := w.Run(now); err != nil {
			t.Fatal(err)
		}
	}
	if errs := w.Check(); len(errs) > 0 {
		t.Fatal(errs[0])
	}
}

// TestCopyGoesOnAsTheOriginal plays half a run, copies, and plays both to the end:
// what they record must be the same as what a run in one go records, with upsets in
// hand and orders given. The half point is taken in the quiet, in a stop and in the
// slow return from it.
func TestCopyGoesOnAsTheOriginal(t *testing.T) {
	p := stressed(t)
	end := 7 * calendar.Day
	halves := []calendar.Time{0, calendar.Day, 2*calendar.Day + 3*calendar.Hour, 4*calendar.Day + 17*calendar.Minute}
	active := 0
	for future := range uint64(4) {
		var straight record.Digest
		w, _ := busy(t, p, future)
		play(t, w, &straight, end, end)
		used := Works{} // memory of an earlier copy, to be overwritten
		for _, half := range halves {
			var whole record.Digest
			a, director := busy(t, p, future)
			play(t, a, &whole, half, calendar.Day)

			var b Works
			b.CopyFrom(a)
			used.CopyFrom(a)
			for i := range a.S.Upsets {
				if a.S.Upsets[i].Active {
					active++
				}
			}
			digests := [3]record.Digest{}
			for i, x := range []*Works{&b, a, &used} {
				if director != nil {
					d := *director
					x.Director = &d
				}
				if x == a { // into both: the rest, and the whole of the run
					x.Sink = record.Both(&digests[i], &whole)
					if err := x.Run(end); err != nil {
						t.Fatal(err)
					}
					continue
				}
				play(t, x, &digests[i], end, end)
			}
			if digests[1].Count() < 1000 {
				t.Fatalf("future %d from %d h: only %d records after the copy", future, half/calendar.Hour, digests[1].Count())
			}
			for i, who := range []string{"copy", "original", "copy into used memory"} {
				if digests[i].Sum() != digests[1].Sum() {
					t.Errorf("seed 11 future %d from %d h: the %s goes on with digest %v over %d records, the original with %v over %d",
						future, half/calendar.Hour, who, &digests[i], digests[i].Count(), &digests[1], digests[1].Count())
				}
			}
			if whole.Sum() != straight.Sum() {
				t.Errorf("seed 11 future %d: digest %v when stopped at %d h to be copied, %v when played in one go", future, &whole, half/calendar.Hour, &straight)
			}
		}
	}
	if active == 0 {
		t.Error("no upset was in hand at any copy: the test does not reach it")
	}
}

// TestDigestIsRepeatable plays the same future again, and again with the run cut
// into pieces of other lengths.
func TestDigestIsRepeatable(t *testing.T) {
	p := stressed(t)
	end := 6 * calendar.Day
	sums := map[uint64]uint64{}
	for future := range uint64(4) {
		var want record.Digest
		w, _ := busy(t, p, future)
		play(t, w, &want, end, end)
		for _, step := range []calendar.Time{end, calendar.Hour, 7*calendar.Minute + 1} {
			var got record.Digest
			w, _ := busy(t, p, future)
			play(t, w, &got, end, step)
			if got.Sum() != want.Sum() || got.Count() != want.Count() {
				t.Errorf("seed 11 future %d in steps of %v: digest %v of %d records, in one go %v of %d", future, step, &got, got.Count(), &want, want.Count())
			}
		}
		if other, ok := sums[want.Sum()]; ok {
			t.Errorf("futures %d and %d have the same digest: luck does not reach the records", other, future)
		}
		sums[want.Sum()] = future
	}
	// A works built anew from the same spec plays the same.
	var a, b record.Digest
	w, _ := busy(t, p, 1)
	play(t, w, &a, calendar.Day, calendar.Day)
	w, _ = busy(t, stressed(t), 1)
	play(t, w, &b, calendar.Day, calendar.Day)
	if a.Sum() != b.Sum() {
		t.Errorf("the same spec built twice: digests %v and %v", &a, &b)
	}
}

// TestDigestDoesNotSeeBatches gives the same records to a digest in batches cut in
// other places.
func TestDigestDoesNotSeeBatches(t *testing.T) {
	var want record.Digest
	m := &record.Memory{}
	w, _ := busy(t, stressed(t), 1)
	w.Sink = record.Both(&want, m)
	if err := w.Run(2 * calendar.Day); err != nil {
		t.Fatal(err)
	}
	for _, size := range []int{1, 7, 256, len(m.Events)} {
		var got record.Digest
		for rest := m.Events; len(rest) > 0; {
			n := min(size, len(rest))
			got.Put(rest[:n])
			rest = rest[n:]
		}
		if got.Sum() != want.Sum() {
			t.Errorf("in batches of %d: digest %v, as played %v", size, &got, &want)
		}
	}
	m.Events[10].X++
	var changed record.Digest
	changed.Put(m.Events)
	if changed.Sum() == want.Sum() {
		t.Error("one number of one record was changed and the digest is the same")
	}
}
