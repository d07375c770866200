package flow

import "millrace/sim/calendar"

// StoreID names a store of a plant. Outside, the zero value, is no store but
// the world: a unit that takes from there is never starved, a piece that goes
// there has left.
type StoreID int32

// Outside is where pieces come from and go to.
const Outside StoreID = 0

// UnitID names the units of one UnitSpec, its places included.
type UnitID int32

// SourceID names a stream of arrivals.
type SourceID int32

// SharedID names shared equipment; the zero value is none.
type SharedID int32

// Unlimited is the room of a store that is never full.
const Unlimited = 1<<31 - 1

// Piece is what moves through a plant. The caller may set Kind, Priority and
// Data in any of its functions; the rest is read only. A *Piece is valid until
// the function that was given it returns.
type Piece struct {
	Number   int64         // counts the pieces as they enter the plant, from 0
	Kind     int32         // what kind of product; changeovers depend on it
	Priority int32         // larger goes first, where priority counts
	Data     int64         // for the caller
	Born     calendar.Time // when it entered the plant
	Came     calendar.Time // when it came to the store it stands in or stood in last
	Works    int32         // how many units have begun to work on it

	joined   calendar.Time   // when it came to that store, displaced or not since
	store    StoreID         // where it stands, 0 when in no store
	home     StoreID         // where it was taken from, for units with several stores
	left     calendar.Time   // work left of a piece that was displaced
	whole    calendar.Time   // all of that work
	deadline calendar.Handle // of its patience
}

// Fate says what becomes of work that is broken off.
type Fate uint8

// Fates.
const (
	Resumes  Fate = iota // it goes on where it stopped
	Restarts             // the same work is done again from the start
	Scrapped             // the piece is taken out and goes to the unit's Scrap
)

// SourceSpec describes pieces that come from outside by themselves.
type SourceSpec struct {
	Name string
	// Gap returns the time from arrival n-1 to arrival n, n from 0; the first
	// counts from the start. Never ends the stream.
	Gap func(n int) calendar.Time
	// Group returns how many pieces arrive together; nil means one.
	Group func(n int) int
	// To is the store they come to. What finds it full is lost.
	To StoreID
	// Route, when set, chooses the store for each piece instead of To. Whom it sends
	// Outside is turned away and counted as lost, not among those that left.
	Route func(*Piece) StoreID
	// Mark, when set, is given each piece before it goes anywhere.
	Mark func(*Piece)
	// Limit is the number of arrivals, 0 for no end.
	Limit int
}

// StoreSpec describes a place where pieces wait.
type StoreSpec struct {
	Name string
	// Room is how many pieces it holds. A store with no room is a hand-over: a
	// piece goes through it only when a unit takes it at once.
	Room int
	// Before reports whether piece a goes before piece b; equal ones go in the
	// order in which they came. nil is first come, first served.
	Before func(a, b *Piece) bool
	// Patience, when set, returns how long a piece waits before it gives up;
	// Never for as long as it takes. It then goes to GivesUp.
	Patience func(*Piece) calendar.Time
	GivesUp  StoreID
	// Travel, when set, makes the store a conveyor that keeps its order: a piece
	// can be taken when it has travelled this long and all before it are gone. The
	// pieces behind one that waits at the end run up. Before and Patience do not
	// go with it.
	Travel func(*Piece) calendar.Time
}

// ByPriority puts pieces of larger Priority first.
func ByPriority(a, b *Piece) bool { return a.Priority > b.Priority }

// LastIn puts the piece that came last first; one that was displaced keeps its
// place.
func LastIn(a, b *Piece) bool {
	return a.joined > b.joined || a.joined == b.joined && a.Number > b.Number
}

// UnitSpec describes a unit, or several alike that stand side by side.
type UnitSpec struct {
	Name string
	// Places is the number of units alike, 0 for one. Each has its own failures. A
	// plant may have 65,536 places (MaxUnits is for a Net driven by hand).
	Places int
	// From is the store the unit takes from; Also are further ones, looked into in
	// this order when those before have nothing: one store goes before another. A unit that takes from
	// Outside is never starved.
	From StoreID
	Also []StoreID
	// Parts are stores of further pieces that are built in, an assembly: the unit
	// begins when it can have one from From and one from each of these at once (of a
	// store that is named twice, two). The part is then gone, and counted as built
	// in; what is worked on and goes on is the piece of From. Builds, when set, is
	// told of both as the part goes. Neither with Batch, Also nor Preempts, nor from
	// a store without room.
	Parts  []StoreID
	Builds func(piece, part *Piece)
	// Work returns how long a piece needs at pace one; it must be set (a unit that
	// needs no time returns 0) unless BatchWork is. Called when the work begins;
	// for a batch with its first piece.
	Work func(*Piece) calendar.Time
	// To is the store its pieces go to; Route, when set, chooses for each piece
	// when its work is done. A piece that finds no room stays on the unit, which
	// is blocked (blocking after service).
	To    StoreID
	Route func(*Piece) StoreID
	// Setup, when set, returns the time of the changeover between a piece of one
	// kind and the next; the first piece of all needs none. Zero is none.
	Setup func(from, to int32) calendar.Time
	// Picks, when set, chooses among all pieces in the store those that the unit
	// takes: it reports whether a unit set up for a kind (that of the piece it
	// worked on last, -1 before the first) takes a rather than b; of equals the
	// first in the store. So a changeover can be put off while there are pieces of
	// the same kind. Neither with Preempts nor from a conveyor.
	Picks func(set int32, a, b *Piece) bool
	// SetupNeeds is shared equipment, a fitter, that is needed while the unit changes
	// over and given back when that is done. UntilGone has no meaning here.
	SetupNeeds Need
	// Batch pieces are worked on together; BatchMin, 0 for Batch, is the least
	// number with which the unit begins. BatchWork, when set, is asked instead of
	// Work, with the number of pieces.
	Batch, BatchMin int
	BatchWork       func(first *Piece, n int) calendar.Time
	// Preempts lets a piece that comes to the store displace one that it goes
	// before (by the store's Before). The displaced piece goes back to the store it
	// came from, which must have room, ahead of its equals, and waits there without
	// patience; Displaced says what becomes of its work. With Scrapped it needs no
	// room. Only work is displaced, not a piece that is finished and blocked.
	Preempts  bool
	Displaced Fate
	// Fails are the ways in which it fails; Stops are planned.
	Fails []FailSpec
	Stops []StopSpec
	// Needs is the shared equipment without which it cannot work or change over,
	// MoreNeeds further equipment that it needs at the same time, of other kinds or
	// one more of the same: the unit asks for one after the other, in this order,
	// when it takes a piece, keeps what it has been given and works when it has
	// everything.
	Needs     Need
	MoreNeeds []Need
	// Scrap is where pieces go whose fate is Scrapped.
	Scrap StoreID
	// Mark, when set, is given each new piece that the unit takes from Outside;
	// Limit is how many it takes, 0 for no end.
	Mark  func(*Piece)
	Limit int
	// Begins and Ends, when set, are told of each piece whose work begins (or goes
	// on after it was displaced) and is done. In Begins the time less Came is how
	// long the piece has waited in the store.
	Begins, Ends func(*Piece)
}

// Clock says what wears a unit towards a failure.
type Clock uint8

// Clocks.
const (
	Operating  Clock = iota // the time it works; a unit that stands does not fail
	ByCalendar              // all time but that of its own repair
)

// FailSpec is one way in which a unit fails.
type FailSpec struct {
	Clock Clock
	// Up returns the life until failure j of the place, Repair how long that
	// failure lasts; both count from 0.
	Up, Repair func(place, j int) calendar.Time
	// Piece is the fate of the work in hand.
	Piece Fate
	// Crew is shared equipment without which the repair does not begin.
	Crew Need
}

// StopSpec is a planned stop: a window of maintenance or the time off shift.
type StopSpec struct {
	Cause int // CauseMaintenance or CauseOffShift
	// The first begins at From; each lasts For; they repeat Every, 0 for once.
	From, For, Every calendar.Time
	// FinishFirst lets the piece in hand be finished: the stop begins late and
	// ends when it was planned to. A piece whose work would begin in the very moment
	// of the stop waits. Otherwise the work is interrupted.
	FinishFirst bool
}

// Shifts returns the stops of a unit that is manned from on to off in each
// cycle, say 6 h to 22 h of 24 h. on < off <= cycle.
func Shifts(on, off, cycle calendar.Time) []StopSpec {
	if on <= 0 && off >= cycle {
		return nil
	}
	stops := []StopSpec{{Cause: CauseOffShift, From: off, For: cycle - off + on, Every: cycle}}
	if on > 0 {
		stops = append(stops, StopSpec{Cause: CauseOffShift, From: 0, For: on})
	}
	return stops
}

// Need is a claim on one piece of shared equipment.
type Need struct {
	Shared   SharedID
	Priority int32 // larger goes first; equal claims are served as they came
	// ByPiece adds the Priority of the piece (of a batch, its first) when the
	// claim is made. Not for repairs.
	ByPiece bool
	// UntilGone keeps the equipment until the piece has left the unit, else it is
	// free as soon as the work is done. Not for repairs.
	UntilGone bool
}

// SharedSpec describes equipment that units share: cranes, operators, a repair
// crew.
type SharedSpec struct {
	Name  string
	Count int // how many there are, 0 for one
	// Preempts lets a claim take the equipment from one of lower priority, whose
	// work or repair is interrupted and goes on later.
	Preempts bool
}
