package files

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"millrace/sim/calendar"
	"millrace/sim/quantity"
	"millrace/sim/record"
)

func testRoute() *record.Route {
	c, err := quantity.ParseClock("2031-11-07 06:00")
	if err != nil {
		panic(err)
	}
	return &record.Route{Works: "Larkfell", Start: int64(c), Upsets: []string{"simple cobble", "stand wreck"}, Levers: []string{"slow to"}, Reasons: []string{"", "it is down"},
		Places: []record.PlaceInfo{{Name: "slab yard", Role: record.Store, Room: 26e9}, {Name: "F1"}},
		Units:  []record.UnitInfo{{Name: "caster \"C1\"", Places: 1}, {Name: "finishing train", RateGiven: true}}}
}

func testEvents() []record.Event {
	return []record.Event{
		{T: 0, Kind: record.Move, Mass: 23_000_000, Piece: 17, From: 0, To: 1, A: 3},
		{T: 60 * calendar.Minute, Kind: record.State, Piece: -1, From: 1, To: record.Nowhere, A: 2, B: 1},
		{T: 16*calendar.Hour + 40*calendar.Minute + 1500*calendar.Microsecond, Kind: record.Upset, Piece: -1, From: 1, To: record.Nowhere, A: 1},
		{T: 17 * calendar.Hour, Kind: record.Told, Piece: 0, From: 1, To: record.Nowhere, X: 1, Y: -2, Z: 3},
		{T: 18 * calendar.Hour, Kind: record.Ordered, Piece: -1, From: 0, To: record.Nowhere, X: 660},
		{T: 18 * calendar.Hour, Kind: record.Refused, Piece: -1, From: 0, To: record.Nowhere, B: 1},
	}
}

func written(t *testing.T, batches ...[]record.Event) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := NewEventWriter(&b, testRoute())
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range batches {
		w.Put(e)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestLogIsReadBack(t *testing.T) {
	var m record.Memory
	route, err := ReadEvents(bytes.NewReader(written(t, testEvents()[:2], testEvents()[2:])), &m)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(m.Events, testEvents()) {
		t.Errorf("read %+v", m.Events)
	}
	if !reflect.DeepEqual(route, testRoute()) {
		t.Errorf("route %+v", route)
	}
	if !bytes.Equal(written(t, testEvents()), written(t, testEvents()[:3], testEvents()[3:])) {
		t.Error("the log depends on how the events were batched")
	}
}

func TestAnyEventIsReadBack(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		in := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) record.Event {
			return record.Event{
				T: calendar.Time(rapid.Int64Range(0, 1e15).Draw(t, "t")), Kind: record.Kind(rapid.IntRange(1, int(record.Level)).Draw(t, "kind")),
				Mass: rapid.Int64().Draw(t, "mass"), Piece: rapid.Int32().Draw(t, "piece"), A: rapid.Int32().Draw(t, "a"), B: rapid.Int32().Draw(t, "b"),
				From: record.Place(rapid.Int16().Draw(t, "from")), To: record.Place(rapid.Int16().Draw(t, "to")),
				X: rapid.Int64().Draw(t, "x"), Y: rapid.Int64().Draw(t, "y"), Z: rapid.Int64().Draw(t, "z"),
			}
		}), 0, 600).Draw(r, "events")
		var m record.Memory
		if _, err := ReadEvents(bytes.NewReader(written(t, in)), &m); err != nil {
			r.Fatal(err)
		}
		if len(in) > 0 && !reflect.DeepEqual(m.Events, in) || len(in) != len(m.Events) {
			r.Fatalf("wrote %+v, read %+v", in, m.Events)
		}
	})
}

// plainLines unpacks a log with the standard library alone.
func plainLines(t *testing.T, log []byte) []string {
	t.Helper()
	z, err := gzip.NewReader(bytes.NewReader(log))
	if err != nil {
		t.Fatal(err)
	}
	b, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return strings.SplitAfter(string(b), "\n")
}

func TestLogIsForPeopleToo(t *testing.T) {
	lines := plainLines(t, written(t, testEvents()))
	for _, l := range lines {
		if l != "" && !json.Valid([]byte(l)) {
			t.Errorf("no JSON: %s", l)
		}
	}
	all := strings.Join(lines, "")
	for _, want := range []string{
		`"at":"2031-11-07T06:00:00","kind":"move","mass":23000000,"piece":17,"from":0,"to":1,"a":3,"from_place":"slab yard","to_place":"F1"}`,
		`"unit":"finishing train","state":"down"`, `"at":"2031-11-07T22:40:00.0015"`, `"upset":"stand wreck"`, `"lever":"slow to"`, `"reason":"it is down"`,
	} {
		if !strings.Contains(all, want) {
			t.Errorf("the log does not say %s:\n%s", want, all)
		}
	}
}

func TestHarmedLogsAreFound(t *testing.T) {
	good := written(t, testEvents())
	pack := func(lines []string) []byte {
		var b bytes.Buffer
		z := gzip.NewWriter(&b)
		io.WriteString(z, strings.Join(lines, ""))
		z.Close()
		return b.Bytes()
	}
	lines := plainLines(t, good)
	edit := func(f func(l []string) []string) []byte { return pack(f(append([]string(nil), lines...))) }
	for name, log := range map[string][]byte{
		"nothing":      nil,
		"no gzip":      []byte("{}"),
		"cut off":      good[:len(good)-12],
		"only a head":  pack(lines[:1]),
		"no tail":      edit(func(l []string) []string { return l[:len(l)-2] }),
		"a line gone":  edit(func(l []string) []string { return append(l[:2:2], l[3:]...) }),
		"a mass moved": edit(func(l []string) []string { l[1] = strings.Replace(l[1], "23000000", "23000001", 1); return l }),
		"a new kind":   edit(func(l []string) []string { l[1] = strings.Replace(l[1], `"move"`, `"shove"`, 1); return l }),
		"no time":      edit(func(l []string) []string { l[1] = strings.Replace(l[1], `"t":0,`, ``, 1); return l }),
		"no JSON":      edit(func(l []string) []string { l[1] = "move\n"; return l }),
		"a new format": edit(func(l []string) []string { l[0] = strings.Replace(l[0], `events":1`, `events":2`, 1); return l }),
		"more behind":  edit(func(l []string) []string { return append(l, l[1]) }),
	} {
		if _, err := ReadEvents(bytes.NewReader(log), &record.Memory{}); err == nil {
			t.Errorf("%s: not found", name)
		}
	}
}

// full is a disk with room for n bytes.
type full struct{ n int }

func (f *full) Write(b []byte) (int, error) {
	if f.n -= len(b); f.n < 0 {
		return 0, io.ErrShortWrite
	}
	return len(b), nil
}

func TestFullDiskIsAnError(t *testing.T) {
	w, err := NewEventWriter(&full{16}, testRoute())
	if err != nil {
		t.Fatal(err)
	}
	w.Put(testEvents())
	for range 2 { // an error does not go away
		if w.Close() == nil {
			t.Error("a log that was not written is called written")
		}
	}
}

func BenchmarkLog(b *testing.B) {
	w, err := NewEventWriter(io.Discard, testRoute())
	if err != nil {
		b.Fatal(err)
	}
	events := testEvents()
	for b.Loop() {
		w.Put(events)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(events)), "ns/event")
}
