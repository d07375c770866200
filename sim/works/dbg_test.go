package works

import (
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
	"os"
	"strconv"
	"testing"
)

func TestDbg(t *testing.T) {
	s := testSpec()
	s.Upsets = testUpsets()
	s.Planned = []PlannedSpec{{Unit: "hot mill", First: -1, Every: 14 * 86400, Lasts: 12 * 3600, Movable: true, Earliest: 10 * 86400}, {Unit: "C1", First: -1, Every: 14 * 86400, Lasts: 12 * 3600, Movable: true, Earliest: 10 * 86400}}
	p, _ := Build(s)
	f, _ := strconv.Atoi(os.Getenv("FUT"))
	w := Begin(p, Start{Luck: chance.Luck{Seed: 7, Future: uint64(f)}, Background: true, SoldOut: true})
	m := &record.Memory{}
	w.Sink = m
	w.Run(20 * calendar.Day)
	n := &w.S.Net
	for u := range n.Units {
		un := &n.Units[u]
		t.Logf("%-18s %v %v piece %d fin %v work %v able %v", p.Route.Units[u].Name, un.State(), un.Count, un.Piece, un.Finished(), un.Working(), un.Able())
	}
	for f := range p.Spec.Furnaces {
		k := &w.S.Furnaces[f]
		t.Logf("F%d row %d table %d doorwait %v run %d readyat %v tail %d walk %d open %d step %d want %d trips %d jams %d", f, k.Row.N, k.Table.N, k.DoorWait, w.S.Pieces[k.Row.Head].Run, n.Cal.Pending(k.ready), k.Tail, k.Walk, k.Open, k.Step, k.Want, k.Trips, k.Jams)
	}
	for c := range p.Spec.Casters {
		k := &w.S.Casters[c]
		t.Logf("C%d phase %d open %d stuck %v table %d seqheats %d endafter %v closed %v maint %v cut %v liq %v liquid %d nseg %d", c, k.Phase, k.Open, k.Stuck, k.Table.N, k.SeqHeats, k.EndAfter, k.Closed, k.Maint, n.Cal.Pending(k.cut), n.Cal.Pending(k.liq), k.Liquid, k.NSeg)
	}
	for i := range w.S.Heats {
		if w.S.Heats[i].Stage != htNone {
			t.Logf("%+v", w.S.Heats[i])
		}
	}
	t.Logf("millstop %v delay %d since %d trainprog %d progno %d progleft %d pacer %v conv %d", w.S.MillStop.Hours(), w.S.Delay.N, w.S.Since, w.S.TrainProg, w.S.ProgNo, w.S.ProgLeft, n.Cal.Pending(w.S.pacer), w.S.Conveyor.N)
	var last calendar.Time
	for _, e := range m.Events {
		if e.Kind == record.Move && e.To == p.p.train {
			last = e.T
		}
	}
	t.Log("last train", last.Hours())
	for _, e := range m.Events {
		if e.T > last-2*calendar.Hour && e.T < last+3*calendar.Hour && (e.Kind == record.Upset || e.Kind == record.Over || e.Kind == record.Note && Word(e.A) != WordCool && Word(e.A) != WordGas && Word(e.A) != WordCharged) {
			t.Logf("%.3f %v %d %v %d %d %d", e.T.Hours(), e.Kind, e.From, Word(e.A), e.Piece, e.X, e.Y)
		}
	}
}

func TestDbg2(t *testing.T) {
	s := testSpec()
	s.Upsets = testUpsets()
	p, _ := Build(s)
	f, _ := strconv.Atoi(os.Getenv("FUT"))
	w := Begin(p, Start{Luck: chance.Luck{Seed: 7, Future: uint64(f)}, Background: true, SoldOut: true})
	m := &record.Memory{}
	w.Sink = m
	w.Run(calendar.Time(120)*calendar.Hour)
	for u := range p.Route.Units {
		st := w.States(u)
		t.Logf("%-18s %.0f", p.Route.Units[u].Name, st)
	}
	for f := range p.Spec.Furnaces {
		k := &w.S.Furnaces[f]
		t.Logf("F%d row %d table %d doorwait %v run %d step %d want %d trips %d jams %d head %+v", f, k.Row.N, k.Table.N, k.DoorWait, w.S.Pieces[k.Row.Head].Run, k.Step, k.Want, k.Trips, k.Jams, w.S.Pieces[k.Row.Head])
	}
	var last calendar.Time
	for _, e := range m.Events {
		if e.Kind == record.Move && e.To == p.p.train {
			last = e.T
		}
	}
	t.Logf("last %v since %d trainprog %d progno %d delay %d due %v free %v", last.Hours(), w.S.Since, w.S.TrainProg, w.S.ProgNo, w.S.Delay.N, w.rollsDue(), w.trainFree().Hours())
	for u := range w.S.Net.Units {
		un := &w.S.Net.Units[u]
		t.Log(p.Route.Units[u].Name, un.State(), un.Piece, un.Finished(), un.Able(), un.Has(3))
	}
	for _, up := range w.S.Upsets {
		if d := (up.Ends - up.Began).Hours(); d > 8 {
			t.Log(w.upsetSpec(up.Spec).Kind, up.Unit, up.Began.Hours(), d)
		}
	}
}
