package flow_test

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"

	"pgregory.net/rapid"
)

// plant is a random serial line with failures by operating time; every time is
// a function of its key, so two lines with the same seed meet the same luck.
type plant struct {
	luck         luck
	room         []int64
	pieces       int
	work, up     []int // largest, by unit
	repair       []int
	share        int // repairs are share tenths of the drawn
	constantWork bool
	steady       bool // no failures
}

func drawPlant(rt *rapid.T) plant {
	n := rapid.IntRange(1, 8).Draw(rt, "units")
	draw := func(name string, lo, hi int) []int {
		return rapid.SliceOfN(rapid.IntRange(lo, hi), n, n).Draw(rt, name)
	}
	p := plant{
		luck:         luck{Seed: rapid.Uint64().Draw(rt, "seed")},
		pieces:       rapid.IntRange(1, 80).Draw(rt, "pieces"),
		work:         draw("work", 0, 12), // small whole numbers: many ties
		up:           draw("up", 1, 60),
		repair:       draw("repair", 0, 40),
		share:        10,
		constantWork: rapid.Bool().Draw(rt, "constant"),
		steady:       rapid.Bool().Draw(rt, "steady"),
	}
	for range n - 1 {
		p.room = append(p.room, int64(rapid.IntRange(0, 4).Draw(rt, "room")))
	}
	return p
}

func (p plant) workOf(unit, piece int) calendar.Time {
	if p.constantWork {
		piece = 0
	}
	return calendar.Time(p.luck.upTo(p.work[unit], forWork, unit, piece))
}

func (p plant) upOf(unit, j int) calendar.Time {
	if p.steady {
		return 1 << 40
	}
	return 1 + calendar.Time(p.luck.upTo(p.up[unit], forUp, unit, j))
}

func (p plant) repairOf(unit, j int) calendar.Time {
	return calendar.Time(p.luck.upTo(p.repair[unit], forRepair, unit, j)) * calendar.Time(p.share) / 10
}

func (p plant) line() *line {
	return newLine(p.room, p.pieces, p.workOf).failing(p.upOf, p.repairOf)
}

// play returns when each piece leaves each unit.
func (p plant) play(fail func(string, ...any)) [][]calendar.Time {
	l := p.line()
	at := make([][]calendar.Time, len(p.work))
	l.left = func(unit, piece int, t calendar.Time) {
		if piece != len(at[unit]) {
			fail("unit %d gave away piece %d after %d others", unit, piece, len(at[unit]))
		}
		at[unit] = append(at[unit], t)
	}
	l.event = func(calendar.Event) {
		if msg := l.lawful(); msg != "" {
			fail("at %d: %s", l.net.Now(), msg)
		}
	}
	l.finish()
	if l.out != p.pieces {
		fail("%d pieces of %d left the line", l.out, p.pieces)
	}
	l.net.Settle()
	for i := range l.net.Units {
		var sum calendar.Time
		for _, d := range l.net.Units[i].Spent {
			sum += d
		}
		if sum != l.net.Now() {
			fail("the states of unit %d add up to %d of %d", i, sum, l.net.Now())
		}
	}
	return at
}

// declared returns the same from a Plant: a piece leaves a unit in the moment in
// which it comes to the next store.
func (p plant) declared(fail func(string, ...any)) [][]calendar.Time {
	at := make([][]calendar.Time, len(p.work))
	left := func(unit int, pc *flow.Piece, t calendar.Time) {
		if int(pc.Number) != len(at[unit]) {
			fail("unit %d gave away piece %d after %d others", unit, pc.Number, len(at[unit]))
		}
		at[unit] = append(at[unit], t)
	}
	pl := flow.NewPlant()
	from := flow.Outside
	for i := range p.work {
		s := flow.UnitSpec{From: from, Limit: p.pieces, Work: func(pc *flow.Piece) calendar.Time {
			if i > 0 {
				left(i-1, pc, pc.Came)
			}
			return p.workOf(i, int(pc.Number))
		}}
		if !p.steady {
			s.Fails = []flow.FailSpec{{
				Up:     func(_, j int) calendar.Time { return p.upOf(i, j) },
				Repair: func(_, j int) calendar.Time { return p.repairOf(i, j) },
			}}
		}
		if i < len(p.room) {
			s.To = pl.AddStore(flow.StoreSpec{Room: int(p.room[i])})
		}
		pl.AddUnit(s)
		from = s.To
	}
	pl.OnLeave(func(pc *flow.Piece) { left(len(at)-1, pc, pl.Now()) })
	if err := pl.Run(calendar.Never); err != nil {
		fail("%v", err)
	}
	if msg := pl.Check(); msg != "" {
		fail(msg)
	}
	return at
}

// maxPlus returns the same from the recursion for blocking after service,
// D(i,k) = max(F(i,k), D(i+1,k-B-1)) with F(i,k) = max(D(i-1,k), D(i,k-1)) + C(i,k):
// no events, no stores. C is the work and the repairs that fall into it; which
// they are depends only on the unit's operating time.
func (p plant) maxPlus() [][]calendar.Time {
	n := len(p.work)
	d := make([][]calendar.Time, n)
	c := make([][]calendar.Time, n)
	for i := range n {
		d[i] = make([]calendar.Time, p.pieces)
		c[i] = make([]calendar.Time, p.pieces)
		var odometer, failAt calendar.Time
		failAt = p.upOf(i, 0)
		j := 0
		for k := range p.pieces {
			c[i][k] = p.workOf(i, k)
			odometer += p.workOf(i, k)
			for failAt < odometer {
				c[i][k] += p.repairOf(i, j)
				j++
				failAt += p.upOf(i, j)
			}
		}
	}
	for k := range p.pieces {
		for i := range n {
			var begin calendar.Time
			if i > 0 {
				begin = d[i-1][k]
			}
			if k > 0 {
				begin = max(begin, d[i][k-1])
			}
			d[i][k] = begin + c[i][k]
			if i+1 < n {
				if b := k - int(p.room[i]) - 1; b >= 0 {
					d[i][k] = max(d[i][k], d[i+1][b])
				}
			}
		}
	}
	return d
}

// futures is how often a drawn line is played, each time with other luck.
func futures() uint64 {
	if nightly {
		return 100
	}
	return 10
}

// TestMaxPlus holds every departure of every piece against the recursion, to
// the microsecond, of a net driven by hand and of a plant.
func TestMaxPlus(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawPlant(rt)
		for p.luck.Future = range futures() {
			net, got, want := p.play(rt.Fatalf), p.declared(rt.Fatalf), p.maxPlus()
			for i := range want {
				for k := range want[i] {
					if got[i][k] != want[i][k] || net[i][k] != want[i][k] {
						rt.Fatalf("piece %d left unit %d at %d (net %d), recursion %d", k, i, got[i][k], net[i][k], want[i][k])
					}
				}
			}
		}
	})
}

// TestLongLine is the same for a line of 300 units.
func TestLongLine(t *testing.T) {
	p := plant{luck: luck{Seed: 3}, pieces: 400}
	for i := range 300 {
		p.work, p.up, p.repair = append(p.work, 5+i%9), append(p.up, 200), append(p.repair, 60)
		if i > 0 {
			p.room = append(p.room, int64(i%4))
		}
	}
	p.share = 10
	for _, p.steady = range []bool{false, true} {
		got, want := p.declared(t.Fatalf), p.maxPlus()
		for i := range want {
			for k := range want[i] {
				if got[i][k] != want[i][k] {
					t.Fatalf("piece %d left unit %d at %d, recursion %d", k, i, got[i][k], want[i][k])
				}
			}
		}
	}
}

// TestMoreRoomShorterRepairNeverLater compares a line with one that has more
// room, or shorter repairs, and the same luck: no piece may leave later, not
// once.
func TestMoreRoomShorterRepairNeverLater(t *testing.T) {
	runs, sooner := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		p := drawPlant(rt)
		better := p
		if rapid.Bool().Draw(rt, "more room") {
			better.room = nil
			for _, r := range p.room {
				better.room = append(better.room, r+int64(rapid.IntRange(0, 3).Draw(rt, "more")))
			}
		} else {
			better.share = rapid.IntRange(0, 10).Draw(rt, "tenths")
		}
		for f := range futures() {
			p.luck.Future, better.luck.Future = f, f
			was, is := p.declared(rt.Fatalf), better.declared(rt.Fatalf)
			for i := range was {
				for k := range was[i] {
					if is[i][k] > was[i][k] {
						rt.Fatalf("piece %d leaves unit %d at %d instead of %d", k, i, is[i][k], was[i][k])
					}
				}
			}
			runs++
			if is[len(is)-1][p.pieces-1] < was[len(is)-1][p.pieces-1] {
				sooner++
			}
		}
	})
	if sooner == 0 {
		t.Errorf("in %d pairs nothing was ever sooner: the test compares a line with itself", runs)
	}
}

// TestMirrorLine plays a line without failures backwards: units, rooms and
// pieces in reverse order need exactly as long (Muth, The reversibility property
// of production lines, Management Science 25 (1979), from memory).
func TestMirrorLine(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawPlant(rt)
		n := len(p.work)
		end := func(l *line) calendar.Time { l.finish(); return l.net.Now() }
		forth := end(newLine(p.room, p.pieces, p.workOf))
		mirror := make([]int64, n-1)
		for i := range mirror {
			mirror[i] = p.room[n-2-i]
		}
		back := end(newLine(mirror, p.pieces, func(unit, piece int) calendar.Time {
			return p.workOf(n-1-unit, p.pieces-1-piece)
		}))
		if forth != back {
			rt.Fatalf("%d forwards, %d backwards", forth, back)
		}
	})
}

// TestLittleExactly starts and ends empty: the integral of the pieces behind the
// first unit is the sum of their times there, to rounding.
func TestLittleExactly(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := drawPlant(rt)
		l := p.line()
		var sum calendar.Time
		l.left = func(unit, _ int, at calendar.Time) {
			if unit == 0 {
				sum -= at
			}
			if unit == l.tail() {
				sum += at
			}
		}
		l.finish()
		if d := l.area - sum.Hours(); d > 1e-12 || d < -1e-12 {
			rt.Fatalf("integral %v h, residence %v h", l.area, sum.Hours())
		}
	})
}
