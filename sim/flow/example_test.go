package flow_test

import (
	"fmt"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// A single server: three customers come at 0, 1 and 2 minutes and need four
// minutes each.
func ExampleNet_singleServer() {
	const arrive = flow.KindCaller
	var net flow.Net
	server := net.AddUnit()
	store := net.AddStore(1 << 40)
	net.Link(store, server, false)
	queue := flow.Empty
	for i := range 3 {
		net.Cal.Book(calendar.Time(i)*calendar.Minute, calendar.Finish, calendar.Event{Kind: arrive})
	}
	for {
		e, ok := net.Next(calendar.Hour)
		if !ok {
			break
		}
		if e.Kind == arrive {
			net.PushTail(&queue, net.NewPiece())
			net.Put(store, 1)
		}
		for u, ok := net.Ready(); ok; u, ok = net.Ready() {
			if net.Units[u].Finished() {
				p := net.Release(u)
				net.FreePiece(p)
				fmt.Printf("customer %d leaves at minute %d\n", p, net.Now()/calendar.Minute)
			}
			if net.Units[u].Idle() && queue.N > 0 {
				net.Take(store, 1)
				net.Start(u, net.PopHead(&queue), 4*calendar.Minute)
			}
		}
	}
	net.Settle()
	fmt.Println(net.Units[server].Spent[flow.Running]/calendar.Minute, "minutes busy")
	// Output:
	// customer 0 leaves at minute 4
	// customer 1 leaves at minute 8
	// customer 2 leaves at minute 12
	// 12 minutes busy
}

// Two units with a store for one piece between them. The first is quicker, so
// it is blocked as soon as the store is full.
func ExampleNet_twoUnits() {
	var net flow.Net
	first, second := net.AddUnit(), net.AddUnit()
	store := net.AddStore(1)
	net.Link(store, first, true)
	net.Link(store, second, false)
	queue := flow.Empty
	try := func(u int) {
		unit := &net.Units[u]
		switch {
		case u == first && unit.Finished() && net.Fits(store, 1):
			net.PushTail(&queue, net.Release(first))
			net.Put(store, 1)
		case u == second && unit.Finished():
			net.FreePiece(net.Release(second))
		}
		switch {
		case u == first && unit.Idle():
			net.Start(first, net.NewPiece(), 2*calendar.Minute)
		case u == second && unit.Idle() && queue.N > 0:
			net.Take(store, 1)
			net.Start(second, net.PopHead(&queue), 5*calendar.Minute)
		}
	}
	for ok := true; ok; _, ok = net.Next(30 * calendar.Minute) {
		for u, ok := net.Ready(); ok; u, ok = net.Ready() {
			try(u)
		}
	}
	net.Settle()
	for u := range net.Units {
		spent := net.Units[u].Spent
		fmt.Printf("unit %d: running %d, blocked %d, starved %d minutes\n", u,
			spent[flow.Running]/calendar.Minute, spent[flow.Blocked]/calendar.Minute, spent[flow.Starved]/calendar.Minute)
	}
	// Output:
	// unit 0: running 16, blocked 14, starved 0 minutes
	// unit 1: running 28, blocked 0, starved 2 minutes
}

// A unit that fails after six minutes of operating time. It works from 0 to 4,
// stands without a piece to 10, works again and fails at 12: the time without
// work does not count.
func ExampleNet_SetFailAt() {
	const restore, arrive = flow.KindCaller, flow.KindCaller + 1
	var net flow.Net
	u := net.AddUnit()
	net.SetFailAt(u, 6*calendar.Minute)
	net.Cal.Book(0, calendar.Finish, calendar.Event{Kind: arrive})
	net.Cal.Book(10*calendar.Minute, calendar.Finish, calendar.Event{Kind: arrive})
	for {
		e, ok := net.Next(calendar.Hour)
		if !ok {
			break
		}
		minute := net.Now() / calendar.Minute
		switch e.Kind {
		case arrive:
			net.Start(u, net.NewPiece(), 4*calendar.Minute)
		case flow.KindFail:
			fmt.Printf("fails at minute %d with %d minutes left\n", minute, net.Left(u)/calendar.Minute)
			net.Cal.Book(net.Now()+3*calendar.Minute, calendar.Restore, calendar.Event{Kind: restore})
		case restore:
			net.SetFailAt(u, net.Units[u].Odometer+6*calendar.Minute)
			net.Clear(u, flow.CauseDown)
		case flow.KindDone:
			fmt.Printf("finished at minute %d\n", minute)
			net.FreePiece(net.Release(u))
		}
	}
	// Output:
	// finished at minute 4
	// fails at minute 12 with 2 minutes left
	// finished at minute 17
}
