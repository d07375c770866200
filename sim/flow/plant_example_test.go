package flow_test

import (
	"errors"
	"fmt"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
)

const minute = calendar.Minute

func minutes(x int) func(*flow.Piece) calendar.Time {
	return func(*flow.Piece) calendar.Time { return calendar.Time(x) * minute }
}

func every(x int) func(int) calendar.Time {
	return func(int) calendar.Time { return calendar.Time(x) * minute }
}

// tell prints when each piece leaves.
func tell(p *flow.Plant) {
	p.OnLeave(func(pc *flow.Piece) {
		fmt.Printf("piece %d of kind %d leaves at minute %d\n", pc.Number, pc.Kind, p.Now()/minute)
	})
}

func run(p *flow.Plant, until calendar.Time) {
	if err := p.Run(until); err != nil {
		fmt.Println(err)
	}
}

// Two servers alike before one queue: a piece comes each minute and needs three.
func ExamplePlant() {
	p := flow.NewPlant()
	queue := p.AddStore(flow.StoreSpec{Name: "queue", Room: flow.Unlimited})
	p.AddSource(flow.SourceSpec{To: queue, Limit: 4, Gap: every(1)})
	servers := p.AddUnit(flow.UnitSpec{Name: "server", Places: 2, From: queue, Work: minutes(3)})
	tell(p)
	run(p, calendar.Never)
	fmt.Printf("mean wait %.0f s, busy %.0f %%\n", p.Store(queue).MeanWait, 100*p.Unit(servers).Share(flow.Running))
	// Output:
	// piece 0 of kind 0 leaves at minute 4
	// piece 1 of kind 0 leaves at minute 5
	// piece 2 of kind 0 leaves at minute 7
	// piece 3 of kind 0 leaves at minute 8
	// mean wait 30 s, busy 75 %
}

// Laws come from package chance, or from anywhere. A draw that is keyed on the
// number of the piece or of the failure is the same in every plant that is
// compared; calendar.Dur rounds to a millisecond.
func ExamplePlant_luck() {
	luck := chance.Luck{Seed: 1}
	const forGap, forWork, forLife, forRepair = 1, 2, 3, 4
	gap, _ := chance.Exponential(100)
	work, _ := chance.Lognormal(70, 110)
	life, _ := chance.WeibullMean(2, 20000)
	repair, _ := chance.Exponential(900)
	for _, room := range []int{2, 20} {
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: room})
		p.AddSource(flow.SourceSpec{To: q, Gap: func(n int) calendar.Time {
			return calendar.Dur(luck.Draw(gap, forGap, 0, uint64(n)))
		}})
		p.AddUnit(flow.UnitSpec{
			From: q,
			Work: func(pc *flow.Piece) calendar.Time {
				return calendar.Dur(luck.Draw(work, forWork, 0, uint64(pc.Number)))
			},
			Fails: []flow.FailSpec{{
				Up:     func(_, j int) calendar.Time { return calendar.Dur(luck.Draw(life, forLife, 0, uint64(j))) },
				Repair: func(_, j int) calendar.Time { return calendar.Dur(luck.Draw(repair, forRepair, 0, uint64(j))) },
			}},
		})
		run(p, 30*calendar.Day)
		n := p.Count()
		fmt.Printf("room for %d: %.1f %% of the pieces are lost\n", room, 100*float64(n.Lost)/float64(n.Entered))
	}
	// Output:
	// room for 2: 12.2 % of the pieces are lost
	// room for 20: 0.6 % of the pieces are lost
}

// A line of three units with room for one piece between the first two and none
// between the others; the first is never starved, and a unit that finds no room
// keeps its piece.
func ExamplePlant_line() {
	p := flow.NewPlant()
	ab := p.AddStore(flow.StoreSpec{Room: 1})
	bc := p.AddStore(flow.StoreSpec{Room: 0})
	a := p.AddUnit(flow.UnitSpec{Name: "A", To: ab, Work: minutes(2)})
	b := p.AddUnit(flow.UnitSpec{Name: "B", From: ab, To: bc, Work: minutes(3)})
	c := p.AddUnit(flow.UnitSpec{Name: "C", From: bc, Work: minutes(4)})
	run(p, calendar.Hour)
	for _, u := range []flow.UnitID{a, b, c} {
		n := p.Unit(u)
		fmt.Printf("running %2d min, blocked %2d, starved %2d; %d done\n",
			n.Spent[flow.Running]/minute, n.Spent[flow.Blocked]/minute, n.Spent[flow.Starved]/minute, n.Done)
	}
	// Output:
	// running 34 min, blocked 26, starved  0; 17 done
	// running 45 min, blocked 13, starved  2; 15 done
	// running 55 min, blocked  0, starved  5; 13 done
}

// Pieces of priority 1 overtake in the store, but wait for the piece in work.
func ExampleByPriority() {
	p := flow.NewPlant()
	queue := p.AddStore(flow.StoreSpec{Room: flow.Unlimited, Before: flow.ByPriority})
	p.AddSource(flow.SourceSpec{To: queue, Limit: 3, Gap: every(1), Mark: func(pc *flow.Piece) {
		if pc.Number == 2 {
			pc.Priority = 1
		}
	}})
	p.AddUnit(flow.UnitSpec{From: queue, Work: minutes(4)})
	tell(p)
	run(p, calendar.Never)
	// Output:
	// piece 0 of kind 0 leaves at minute 5
	// piece 2 of kind 0 leaves at minute 9
	// piece 1 of kind 0 leaves at minute 13
}

// The same, but the urgent piece displaces the one in work, which goes on
// afterwards where it was broken off.
func ExampleUnitSpec_preempts() {
	p := flow.NewPlant()
	queue := p.AddStore(flow.StoreSpec{Room: flow.Unlimited, Before: flow.ByPriority})
	p.AddSource(flow.SourceSpec{To: queue, Limit: 3, Gap: every(1), Mark: func(pc *flow.Piece) {
		if pc.Number == 2 {
			pc.Priority = 1
		}
	}})
	p.AddUnit(flow.UnitSpec{From: queue, Work: minutes(4), Preempts: true})
	tell(p)
	run(p, calendar.Never)
	// Output:
	// piece 2 of kind 0 leaves at minute 7
	// piece 0 of kind 0 leaves at minute 9
	// piece 1 of kind 0 leaves at minute 13
}

// One crane for two units. The second may take it from the first.
func ExampleSharedSpec() {
	for _, preempts := range []bool{false, true} {
		p := flow.NewPlant()
		crane := p.AddShared(flow.SharedSpec{Name: "crane", Preempts: preempts})
		q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited})
		p.AddSource(flow.SourceSpec{To: q, Limit: 1, Gap: every(3)})
		p.AddUnit(flow.UnitSpec{Name: "slow", Limit: 1, Work: minutes(10), Needs: flow.Need{Shared: crane}})
		p.AddUnit(flow.UnitSpec{Name: "urgent", From: q, Work: minutes(2), Needs: flow.Need{Shared: crane, Priority: 1}})
		tell(p)
		run(p, calendar.Never)
		fmt.Println("claims that had to wait:", p.Shared(crane).HadToWait)
	}
	// Output:
	// piece 0 of kind 0 leaves at minute 10
	// piece 1 of kind 0 leaves at minute 12
	// claims that had to wait: 1
	// piece 1 of kind 0 leaves at minute 5
	// piece 0 of kind 0 leaves at minute 12
	// claims that had to wait: 0
}

// Failures by operating time come only while the unit works, failures by the
// calendar at any time. Here a piece comes every ten minutes and needs four.
func ExampleFailSpec() {
	for _, clock := range []flow.Clock{flow.Operating, flow.ByCalendar} {
		p := flow.NewPlant()
		q := p.AddStore(flow.StoreSpec{Room: flow.Unlimited})
		p.AddSource(flow.SourceSpec{To: q, Gap: every(10)})
		u := p.AddUnit(flow.UnitSpec{From: q, Work: minutes(4), Fails: []flow.FailSpec{{
			Clock:  clock,
			Up:     func(place, j int) calendar.Time { return 6 * minute },
			Repair: func(place, j int) calendar.Time { return 3 * minute },
		}}})
		run(p, calendar.Hour)
		n := p.Unit(u)
		fmt.Printf("running %d min, down %d\n", n.Spent[flow.Running]/minute, n.Spent[flow.Down]/minute)
	}
	// Output:
	// running 20 min, down 9
	// running 20 min, down 18
}

// A unit manned from hour 1 to hour 3 of every 4, with a planned window of half
// an hour that waits for the piece in hand.
func ExampleShifts() {
	p := flow.NewPlant()
	window := flow.StopSpec{Cause: flow.CauseMaintenance, From: 80 * minute, For: 30 * minute, FinishFirst: true}
	u := p.AddUnit(flow.UnitSpec{
		Work:  minutes(45),
		Stops: append(flow.Shifts(calendar.Hour, 3*calendar.Hour, 4*calendar.Hour), window),
	})
	run(p, 8*calendar.Hour)
	n := p.Unit(u)
	for _, s := range []flow.State{flow.OffShift, flow.Maintenance, flow.Running} {
		fmt.Println(n.Spent[s]/minute, "minutes", s)
	}
	fmt.Println(n.Done, "pieces")
	// Output:
	// 240 minutes off shift
	// 5 minutes maintenance
	// 235 minutes running
	// 5 pieces
}

// A changeover depends on what came before: light to dark is quick.
func ExampleUnitSpec_setup() {
	p := flow.NewPlant()
	kinds := []int32{1, 1, 2, 1}
	p.AddUnit(flow.UnitSpec{
		Limit: 4,
		Mark:  func(pc *flow.Piece) { pc.Kind = kinds[pc.Number] },
		Work:  minutes(5),
		Setup: func(from, to int32) calendar.Time {
			switch {
			case from < to:
				return 2 * minute
			case from > to:
				return 20 * minute
			}
			return 0
		},
	})
	tell(p)
	run(p, calendar.Never)
	// Output:
	// piece 0 of kind 1 leaves at minute 5
	// piece 1 of kind 1 leaves at minute 10
	// piece 2 of kind 2 leaves at minute 17
	// piece 3 of kind 1 leaves at minute 42
}

// A furnace takes three at a time and begins with two. The sixth piece is left
// over, and the run says so.
func ExampleUnitSpec_batch() {
	p := flow.NewPlant()
	q := p.AddStore(flow.StoreSpec{Name: "table", Room: 10})
	p.AddSource(flow.SourceSpec{To: q, Limit: 6, Gap: every(1)})
	p.AddUnit(flow.UnitSpec{Name: "furnace", From: q, Batch: 3, BatchMin: 2, Work: minutes(10)})
	tell(p)
	run(p, calendar.Never)
	// Output:
	// piece 0 of kind 0 leaves at minute 12
	// piece 1 of kind 0 leaves at minute 12
	// piece 2 of kind 0 leaves at minute 22
	// piece 3 of kind 0 leaves at minute 22
	// piece 4 of kind 0 leaves at minute 22
	// flow: nothing can happen any more, pieces are still inside at 0.366667 h: furnace waits for more pieces, table has 1
}

// A frame and two wheels become a cart. The third frame lacks a wheel, and the run
// says so.
func ExampleUnitSpec_parts() {
	p := flow.NewPlant()
	frames := p.AddStore(flow.StoreSpec{Name: "frames", Room: 3})
	wheels := p.AddStore(flow.StoreSpec{Name: "wheels", Room: 6})
	p.AddSource(flow.SourceSpec{To: frames, Limit: 3, Gap: every(1)})
	p.AddSource(flow.SourceSpec{To: wheels, Limit: 5, Gap: every(2)})
	p.AddUnit(flow.UnitSpec{Name: "assembly", From: frames, Parts: []flow.StoreID{wheels, wheels}, Work: minutes(3)})
	tell(p)
	run(p, calendar.Never)
	fmt.Println(p.Count().BuiltIn, "wheels built in")
	// Output:
	// piece 0 of kind 0 leaves at minute 7
	// piece 2 of kind 0 leaves at minute 11
	// flow: nothing can happen any more, pieces are still inside at 0.183333 h: assembly waits for more pieces, frames has 1; assembly waits for more pieces, wheels has 1
	// 4 wheels built in
}

// Nobody waits longer than three minutes; who gives up goes to another desk.
func ExampleStoreSpec_patience() {
	p := flow.NewPlant()
	other := p.AddStore(flow.StoreSpec{Room: flow.Unlimited})
	q := p.AddStore(flow.StoreSpec{
		Room: flow.Unlimited, GivesUp: other,
		Patience: func(*flow.Piece) calendar.Time { return 3 * minute },
	})
	p.AddSource(flow.SourceSpec{To: q, Limit: 3, Gap: every(1)})
	p.AddUnit(flow.UnitSpec{From: q, Work: minutes(4)})
	p.AddUnit(flow.UnitSpec{From: other, Work: minutes(1)})
	tell(p)
	run(p, calendar.Never)
	fmt.Println(p.Store(q).GaveUp, "gave up")
	// Output:
	// piece 0 of kind 0 leaves at minute 5
	// piece 2 of kind 0 leaves at minute 7
	// piece 1 of kind 0 leaves at minute 9
	// 1 gave up
}

// A conveyor for two pieces that takes five minutes. A slow piece on it holds up
// the quick one behind: the order is kept.
func ExampleStoreSpec_travel() {
	p := flow.NewPlant()
	conveyor := p.AddStore(flow.StoreSpec{Room: 2, Travel: func(pc *flow.Piece) calendar.Time {
		if pc.Number == 0 {
			return 9 * minute
		}
		return 5 * minute
	}})
	feeder := p.AddUnit(flow.UnitSpec{Limit: 3, Work: minutes(1), To: conveyor})
	p.AddUnit(flow.UnitSpec{From: conveyor, Work: minutes(1)})
	tell(p)
	run(p, calendar.Never)
	fmt.Println("feeder blocked for", p.Unit(feeder).Spent[flow.Blocked]/minute, "minutes")
	// Output:
	// piece 0 of kind 0 leaves at minute 11
	// piece 1 of kind 0 leaves at minute 12
	// piece 2 of kind 0 leaves at minute 16
	// feeder blocked for 7 minutes
}

// Two units that send pieces to each other, each with a full store: the run ends
// and names the circle.
func ExampleStall() {
	p := flow.NewPlant()
	there := p.AddStore(flow.StoreSpec{Name: "there", Room: 1})
	back := p.AddStore(flow.StoreSpec{Name: "back", Room: 1})
	p.AddSource(flow.SourceSpec{Gap: every(1), To: there})
	p.AddUnit(flow.UnitSpec{Name: "A", From: there, To: back, Work: minutes(1)})
	p.AddUnit(flow.UnitSpec{Name: "B", From: back, To: there, Work: minutes(2)})
	err := p.Run(calendar.Day)
	var stall *flow.Stall
	if errors.As(err, &stall) && stall.Circle {
		fmt.Println("at minute", stall.At/minute)
		for _, w := range stall.Waits {
			fmt.Println(w)
		}
	}
	// Output:
	// at minute 6
	// B holds piece 1 and waits for room in there, which has 1 of 1 (emptied by A)
	// A holds piece 0 and waits for room in back, which has 1 of 1 (emptied by B)
}

// One operator for two saws, who goes to the piece of higher priority, whichever
// saw it is on. A piece needs the operator and a fixture at the same time.
func ExampleNeed() {
	p := flow.NewPlant()
	operator := p.AddShared(flow.SharedSpec{Name: "operator"})
	fixture := p.AddShared(flow.SharedSpec{Name: "fixture", Count: 2})
	queue := p.AddStore(flow.StoreSpec{Room: flow.Unlimited})
	p.AddSource(flow.SourceSpec{To: queue, Limit: 4, Gap: every(1), Mark: func(pc *flow.Piece) { pc.Priority = int32(pc.Number) }})
	p.AddUnit(flow.UnitSpec{Name: "saw", Places: 4, From: queue, Work: minutes(10),
		Needs: flow.Need{Shared: operator, ByPiece: true}, MoreNeeds: []flow.Need{{Shared: fixture}}})
	tell(p)
	run(p, calendar.Never)
	// Output:
	// piece 0 of kind 0 leaves at minute 11
	// piece 3 of kind 0 leaves at minute 21
	// piece 2 of kind 0 leaves at minute 31
	// piece 1 of kind 0 leaves at minute 41
}

// A crane that is away from minute 5 to 9: a unit of its own holds it then.
func ExampleSharedSpec_away() {
	p := flow.NewPlant()
	crane := p.AddShared(flow.SharedSpec{Name: "crane", Preempts: true})
	visits := p.AddStore(flow.StoreSpec{Room: 1})
	p.AddSource(flow.SourceSpec{To: visits, Limit: 1, Gap: every(5)})
	p.AddUnit(flow.UnitSpec{Name: "away", From: visits, Work: minutes(4), Needs: flow.Need{Shared: crane, Priority: 9}})
	u := p.AddUnit(flow.UnitSpec{Name: "loader", Limit: 1, Work: minutes(8), Needs: flow.Need{Shared: crane}})
	run(p, calendar.Never)
	fmt.Println("done at minute", p.Now()/minute, "waited for the crane", p.Unit(u).Spent[flow.Blocked]/minute)
	// Output:
	// done at minute 12 waited for the crane 4
}

// A unit that goes on with the kind it is set up for while there is one.
func ExampleUnitSpec_picks() {
	p := flow.NewPlant()
	q := p.AddStore(flow.StoreSpec{Room: 10})
	p.AddSource(flow.SourceSpec{To: q, Limit: 1, Gap: every(0), Group: func(int) int { return 4 },
		Mark: func(pc *flow.Piece) { pc.Kind = int32(pc.Number % 2) }})
	p.AddUnit(flow.UnitSpec{
		From: q, Work: minutes(5),
		Setup: func(from, to int32) calendar.Time {
			if from != to {
				return 20 * minute
			}
			return 0
		},
		Picks: func(set int32, a, b *flow.Piece) bool { return a.Kind == set && b.Kind != set },
	})
	tell(p)
	run(p, calendar.Never)
	// Output:
	// piece 0 of kind 0 leaves at minute 5
	// piece 2 of kind 0 leaves at minute 10
	// piece 1 of kind 1 leaves at minute 35
	// piece 3 of kind 1 leaves at minute 40
}
