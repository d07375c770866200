package drill

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/futures"
	"millrace/sim/quantity"
	"millrace/sim/record"
	"millrace/sim/works"
)

// Scenario is what a drill plays.
type Scenario struct {
	// Case is the scenario; its plans are not played, people are the plan.
	Case   *futures.Case
	Start  quantity.Clock
	Future uint64
	// Public is the title that players see, "" for one that gives nothing away.
	Public string
}

// session is a drill without wall clock: a pure function of its scenario and the
// actions applied to it.
type session struct {
	sc     *Scenario
	plant  *works.Plant
	rows   []row
	rings  []ring // the main route
	ringOf []int  // by row, -1 for one beside it
	levers []lever

	played  *futures.Game // as people play it
	nothing *futures.Game // the same upsets, nobody orders
	twin    *futures.Game // no upset of the script, no inject
	meter   *meter
	given   []given // upsets that were injected
	script  []scripted

	extra   record.Sink   // gets the records of the game that people play; nil for none
	next    calendar.Time // next full minute to be sampled
	minutes [][]int32     // by row: thousandths of cap at each full minute
	hours   [][]int32
	cost    []float64 // so far, at each full minute
	costs   []float64 // at each full hour
	nothin  []float64 // Cost.Nothing at each full hour

	logs  map[bus.Audience][]bus.LogLine
	told  []bus.Told
	over  []int // words whose stop is over, in that order
	calls []call
	marks []bus.Mark
	tags  map[byte]int
	in    string            // branch
	noted map[string]string // by tag of a note: the branch it was written in
	acks  map[string][]bus.Ack
	kinds map[int]bool          // upsets whose kind people have heard
	ended map[int]calendar.Time // when each upset that is over ended
	slabs map[int]slabNotes     // by unit
}

// given is an upset that was injected: its number in the game people play and in
// the one where nobody orders.
type given struct{ played, nothing int }

// scripted is an inject of the script.
type scripted struct {
	at            calendar.Time
	given, byHand bool
}

// newSession lays a drill out at its start. rows come from findCaps.
func newSession(sc *Scenario, rows []row) (*session, error) {
	c := *sc.Case
	s := &session{sc: sc, plant: c.Plant, rows: rows, levers: leversOf(c.Plant)}
	s.meter = newMeter(c.Plant, rows)
	s.rings, s.ringOf = ringsOf(rows)
	s.logs = map[bus.Audience][]bus.LogLine{}
	s.in, s.noted, s.slabs = branchName(0), map[string]string{}, map[int]slabNotes{}
	s.tags, s.acks, s.kinds, s.ended = map[byte]int{}, map[string][]bus.Ack{}, map[int]bool{}, map[int]calendar.Time{}
	s.minutes, s.hours = make([][]int32, len(rows)), make([][]int32, len(rows))
	for i := range c.Script {
		s.script = append(s.script, scripted{at: calendar.Dur(c.Script[i].At)})
	}
	var err error
	if s.played, err = c.Game(false, sc.Future, s); err != nil {
		return nil, err
	}
	if s.nothing, err = c.Game(false, sc.Future, nil); err != nil {
		return nil, err
	}
	if s.twin, err = c.Game(false, sc.Future, nil); err != nil {
		return nil, err
	}
	s.marks = []bus.Mark{{Tag: "start", Text: "the start"}}
	return s, s.runTo(0)
}

func (s *session) now() calendar.Time { return s.played.Works().Now() }

func (s *session) handled() uint64 { return s.played.Works().S.NEvents }

func (s *session) clock(t calendar.Time) string {
	return quantity.FormatClock(s.sc.Start.Add(t.Seconds()), s.sc.Start.Add(s.now().Seconds()))
}

func (s *session) iso(t calendar.Time) string { return bus.ClockISO(s.sc.Start, t) }

// Put takes the records of the game that people play.
func (s *session) Put(events []record.Event) {
	if s.meter != nil {
		s.meter.Put(events)
	}
	for i := range events {
		s.hear(&events[i])
		s.read(&events[i])
	}
	if s.extra != nil {
		s.extra.Put(events)
	}
}

// runTo plays all games on to the time and keeps what a page shows at each full
// minute on the way.
func (s *session) runTo(t calendar.Time) error {
	for s.next <= t {
		if err := s.run(s.next); err != nil {
			return err
		}
		s.sample()
		s.next += calendar.Minute
	}
	if err := s.run(t); err != nil {
		return err
	}
	s.meter.at(s.played.Works())
	s.lookAtCalls()
	return nil
}

func (s *session) run(t calendar.Time) error {
	for _, g := range [...]*futures.Game{s.played, s.nothing, s.twin} {
		if err := g.Run(t); err != nil {
			return err
		}
	}
	return nil
}

// sample keeps one minute.
func (s *session) sample() {
	w := s.played.Works()
	s.meter.minute(w)
	now := s.meter.at(w)
	full := s.next%calendar.Hour == 0
	for i := range s.rows {
		v := int32(mille(now[i].V, s.rows[i].Cap))
		s.minutes[i] = append(s.minutes[i], v)
		if full {
			s.hours[i] = append(s.hours[i], v)
		}
	}
	twin := s.twin.Cost()
	s.cost = append(s.cost, s.played.Cost()-twin)
	if full {
		s.costs = append(s.costs, s.cost[len(s.cost)-1])
		s.nothin = append(s.nothin, s.nothing.Cost()-twin)
	}
	s.lookAtCalls()
}

// costNow is the cost strip now.
func (s *session) costNow() bus.Cost {
	c := bus.Cost{Currency: s.plant.Spec.Currency, Lines: []bus.CostLine{}}
	for _, l := range s.played.CostLess(s.twin) {
		if l.Name == "total" {
			c.SoFar = whole(l.Amount)
		} else if whole(l.Amount) != 0 {
			c.Lines = append(c.Lines, bus.CostLine{Name: l.Name, Amount: whole(l.Amount)})
		}
	}
	c.Nothing = whole(s.nothing.Cost() - s.twin.Cost())
	if n := len(s.cost); n > 60 {
		c.PerHour = whole(s.cost[n-1] - s.cost[n-61])
	}
	c.Rate = s.costRate()
	return c
}

func whole(v float64) float64 { return math.Round(v) + 0 } // +0: never minus nought

// dueScript is the script inject that comes next by itself, -1 for none.
func (s *session) dueScript() (i int, at calendar.Time) {
	best := -1
	for k := range s.script {
		x := &s.script[k]
		if !x.given && !x.byHand && (best < 0 || x.at < s.script[best].at) {
			best = k
		}
	}
	if best < 0 {
		return -1, calendar.Never
	}
	return best, s.script[best].at
}

// apply carries an action out at the present time. Its outcome is a pure function
// of the session; an error means that it could never have been written.
func (s *session) apply(a *bus.Action) (ok bool, why string, err error) {
	t := calendar.Time(a.T)
	if t != s.now() {
		return false, "", fmt.Errorf("action %d belongs to %s, and it is %s", a.Seq, s.iso(t), s.iso(s.now()))
	}
	ok = true
	switch a.Kind {
	case bus.CmdOrder:
		o, l, err := s.order(a.Order)
		if err != nil {
			return false, "", fmt.Errorf("action %d: %w", a.Seq, err)
		}
		if e := s.played.Works().Do(o); e != nil {
			ok, why = false, e.Error()
		}
		if err := s.run(s.now()); err != nil {
			return false, "", err
		}
		text := s.sayOrder(l, a.Order)
		if !ok {
			text += " - " + why
		}
		s.mark('A', a, text, bus.LogAction, rowOf(s.rows, o.Unit), bus.ForAll)
	case bus.CmdInject, bus.ActScript:
		if why, err = s.inject(a); err != nil {
			return false, "", fmt.Errorf("action %d: %w", a.Seq, err)
		}
		ok = why == ""
		if err := s.run(s.now()); err != nil {
			return false, "", err
		}
	case bus.CmdAck:
		s.acks[a.Call] = append(s.acks[a.Call], bus.Ack{By: a.By, Role: a.Role, At: t.Seconds()})
		for i := range s.calls {
			if s.calls[i].page.ID == a.Call {
				s.calls[i].changed++
				s.line(bus.ForAll, bus.LogLine{What: bus.LogDrill, Row: s.calls[i].page.Row, By: a.By, Text: "caution read: " + s.calls[i].page.Unit})
			}
		}
	case bus.CmdNote:
		s.noted[s.nextTag('N')] = s.in
		s.mark('N', a, a.Text, bus.LogNote, -1, bus.ForStaff)
	case bus.CmdHold:
		s.drillLine(a, "held")
	case bus.CmdResume:
		s.drillLine(a, "goes on")
	case bus.CmdConfirm:
		s.drillLine(a, "the emergency is over: the drill goes on")
	case bus.CmdRunTo:
		text := bus.NextInject
		if a.Target == "" {
			text = s.clock(calendar.Time(a.To))
		}
		s.drillLine(a, "on to "+text+", then held")
	case bus.CmdPace:
		s.drillLine(a, "pace "+quantity.FormatNumber(a.Pace, 2)+" minutes a second")
	case bus.CmdStep:
		s.drillLine(a, "step")
	case bus.CmdStop:
		s.drillLine(a, bus.StopWord)
	case bus.CmdAskHold:
		s.drillLine(a, "asks for a hold")
	case bus.CmdRewind:
		s.in = a.Branch
		s.drillLine(a, "back to here: branch "+a.Branch)
		s.takeNotes(a.Notes)
	case bus.ActAgain:
		s.line(bus.ForAll, bus.LogLine{What: bus.LogDrill, Row: -1, Text: "the program came back; held"})
	case bus.ActBegin, bus.ActAllow:
	default:
		return false, "", fmt.Errorf("action %d is of a kind %q that this program does not know", a.Seq, a.Kind)
	}
	s.played.Works().Flush()
	s.lookAtCalls()
	return ok, why, nil
}

func (s *session) drillLine(a *bus.Action, text string) {
	s.line(bus.ForAll, bus.LogLine{What: bus.LogDrill, Row: -1, By: a.By, Text: text})
}

// nextTag is the tag that the next line of a letter gets.
func (s *session) nextTag(letter byte) string { return fmt.Sprintf("%c%d", letter, s.tags[letter]+1) }

// mark writes a tagged line, to which the drill can go back.
func (s *session) mark(letter byte, a *bus.Action, text, what string, row int, to bus.Audience) {
	tag := s.nextTag(letter)
	s.tags[letter]++
	by := a.By
	if a.As != "" {
		by = a.As + " (by " + a.By + ")"
	}
	s.line(to, bus.LogLine{Tag: tag, What: what, Row: row, By: by, Text: text})
	if letter != 'N' {
		s.marks = append(s.marks, bus.Mark{Tag: tag, At: s.now().Seconds(), Text: text, Seq: a.Seq})
	}
}

// takeNotes puts the notes of a branch that was left into the log. They keep their tags,
// which later notes do not use again.
func (s *session) takeNotes(notes []bus.Note) {
	for _, n := range notes {
		s.noted[n.Tag] = n.Branch
		if k, err := strconv.Atoi(strings.TrimPrefix(n.Tag, "N")); err == nil {
			s.tags['N'] = max(s.tags['N'], k)
		}
		s.lineAt(bus.ForStaff, bus.LogLine{Tag: n.Tag, What: bus.LogNote, Row: -1, By: n.By, Text: n.Text, Branch: n.Branch}, calendar.Time(n.T))
	}
}

// notesLost are the notes of this session that another, which goes on from its past,
// does not have.
func (s *session) notesLost(other *session) (lost []bus.Note) {
	for _, l := range s.logs[bus.ForStaff] {
		if l.What != bus.LogNote {
			continue
		}
		if _, ok := other.noted[l.Tag]; !ok {
			lost = append(lost, bus.Note{T: int64(calendar.Dur(l.At)), Tag: l.Tag, By: l.By, Branch: s.noted[l.Tag], Text: l.Text})
		}
	}
	return lost
}

// line adds a line to the log of an audience.
func (s *session) line(to bus.Audience, l bus.LogLine) {
	s.lineAt(to, l, s.now())
}

func (s *session) lineAt(to bus.Audience, l bus.LogLine, t calendar.Time) {
	l.N = len(s.logs[to]) + 1
	l.At, l.Clock = t.Seconds(), s.iso(t)
	s.logs[to] = append(s.logs[to], l)
}

// play replays actions on a new session: the rebuild of a run. It ends at the time
// until.
func (s *session) play(actions []bus.Action, until calendar.Time) error {
	for i := range actions {
		a := actions[i]
		if a.Kind == bus.ActAllow {
			continue
		}
		if err := s.runTo(calendar.Time(a.T)); err != nil {
			return err
		}
		if a.Events != s.handled() {
			return fmt.Errorf("action %d was given after %d events, and %d are handled now: the program or the scenario is not the one it was recorded with", a.Seq, a.Events, s.handled())
		}
		ok, why, err := s.apply(&a)
		if err != nil {
			return err
		}
		if ok != a.OK {
			return fmt.Errorf("action %d was answered otherwise when it was recorded (%s)", a.Seq, why)
		}
	}
	return s.runTo(until)
}

// effective are the actions that made the present: those before a rewind's time and
// those after the rewind. until is the time up to which time was allowed to run.
func effective(all []bus.Action) (kept []bus.Action, until calendar.Time) {
	for _, a := range all {
		if a.Kind == bus.CmdRewind {
			kept = slices.DeleteFunc(slices.Clone(kept), func(k bus.Action) bool { return undoes(&a, &k) })
		}
		kept = append(kept, a)
		until = calendar.Time(a.Until)
	}
	return kept, until
}

// undoes says whether a rewind takes an action back: what came after the time it goes
// to, and at that time what was done from its mark on.
func undoes(rewind, k *bus.Action) bool {
	return k.Kind != bus.ActBegin && (k.T > rewind.To || k.T == rewind.To && k.Seq >= rewind.ToSeq)
}

// copyForLook makes copies for a look-ahead, reusing old ones.
func (s *session) copyForLook(old *lookFrom) *lookFrom {
	if old == nil {
		old = &lookFrom{}
	}
	old.played, old.twin = s.played.Copy(old.played), s.twin.Copy(old.twin)
	old.standing = s.standing()
	return old
}
