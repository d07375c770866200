package works

import (
	"fmt"
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// Lever is one action that people can take.
type Lever uint8

// The levers.
const (
	SetCasterSpeed Lever = iota
	EndSequence
	ReturnHeat
	DivertHeat
	HoldHeat
	SetWind
	OpenOverflow
	CloseOverflow
	SetFurnacesBack
	ChargeRule
	ChangeRolls
	PullPlanned
	RestartRamp
	StopTapping
	ResumeTapping
	ReopenCaster
	ForceCooling
	ProcessSpeed
	OutsidePickling
	SkipTemper
	ByDueDate
	WorkOvertime
	NLevers
)

// LeverInfo describes a lever.
type LeverInfo struct {
	Name, What, Costs string
}

// Levers lists the levers in order of Lever (common practice, no source).
var Levers = [NLevers]LeverInfo{
	{"casting speed", "cast slower or faster", "slow casting makes colder steel and its next heat waits; fast casting wears towards a breakout"},
	{"end sequence", "end the sequence when the open ladle is empty", "crop, a tundish and a turnaround; heats in flight need another fate"},
	{"return heat", "pour a heat back", "the dearest steel of the month"},
	{"divert heat", "give a heat to another caster", "its plan is broken; the heat goes on cooling"},
	{"hold heat", "hold a heat at the reheat stand", "power, refractory; one heat at a time and hours at most"},
	{"wind", "cut the blast furnace's wind", "iron not made is not made later; the rate follows with a lag"},
	{"open overflow", "truck slabs to the overflow yard", "double handling"},
	{"close overflow", "stop trucking to the overflow yard", "the yard has less room"},
	{"set furnaces back", "lower the furnaces below their set-point", "they must come back to heat before the mill runs"},
	{"charge", "choose which slabs are charged first", "other orders wait"},
	{"change rolls", "change the work rolls while the mill stands", "rolls leave before they are worn"},
	{"pull planned stop", "do the planned stop now", "crews and spares must be ready; the stop may grow"},
	{"restart ramp", "restart slowly with easy slabs", "less is rolled in the first hours"},
	{"stop tapping", "begin no more heats", "casters run out of steel; iron backs up"},
	{"resume tapping", "begin heats again", "-"},
	{"reopen caster", "let a caster start sequences again", "-"},
	{"forced coil cooling", "fans or water on the coil floor", "water and power by the hour; some coils lose shape or rust"},
	{"process speed", "run the pickle line slower or faster than usual", "faster than the acid allows leaves scale"},
	{"outside pickling", "send coils outside to be pickled", "haulage and fees; days on the road"},
	{"skip temper", "sell annealed coils untempered", "a lower price"},
	{"by due date", "roll and ship first what is due first", "a dearer order may wait for an earlier one; what nobody ordered waits longest"},
	{"overtime", "work overtime on pickle line, temper mill and dispatch", "wages of every crew; fatigue"},
}

// Reason says why something was refused or happened.
type Reason int32

// The reasons.
const (
	ReasonNone Reason = iota
	ReasonTooCold
	ReasonTableFull
	ReasonCasterDown
	ReasonOrdered
	ReasonAlready
	ReasonNotMovable
	ReasonTooEarly
	ReasonNoPlanned
	ReasonTooFast
	ReasonTooSlow
	ReasonNotCasting
	ReasonNoHeat
	ReasonHeatOpen
	ReasonStandBusy
	ReasonHeldOut
	ReasonCannotTake
	ReasonWindRange
	ReasonNoOverflow
	ReasonNotOpen
	ReasonRunning
	ReasonStep
	ReasonRule
	ReasonPace
	ReasonNotTapped
	ReasonNotStopped
	ReasonNoColdSide
	ReasonNoFans
	ReasonPicklePace
	ReasonNoOutside
	ReasonNotKnown
	nReasons
)

var reasons = [nReasons]string{
	"", "too cold to cast", "its own run-out table is full", "the caster is down", "ordered", "it is already so", "that planned stop cannot be moved",
	"its crews and spares cannot be ready so early: not before its lead time from the works file", "no planned stop is booked for it", "faster than this steel may be cast on this machine", "below the least speed: the nozzle would freeze",
	"the caster is not casting", "there is no such heat", "the ladle is open: it can only be cast or its sequence ended", "the reheat stand is taken",
	"the heat has been held as long as it may", "the other caster cannot open it before it is too cold", "outside lowest wind to full wind",
	"there is no overflow yard", "the overflow yard is not open", "the mill is running; it can be done while the mill stands", "there is no such set-back step", "there is no such charging rule",
	"the pace must lie between 30 % and 100 %", "the heat is not tapped yet", "tapping is not stopped",
	"the works ends at the coil floor", "there are no fans on the coil floor", "the process speed must lie between 30 % and 125 %", "nobody pickles outside for us",
	"it is not yet known what happened to it: nobody is sent in before the first word",
}

// String returns the reason in words.
func (r Reason) String() string {
	if r >= 0 && r < nReasons {
		return reasons[r]
	}
	return "unknown"
}

// Order is a lever pulled: on a unit (caster, furnace, train), a heat, with a value.
type Order struct {
	Lever Lever
	Unit  int     // unit number, -1 for none
	Heat  int32   // heat number
	Value float64 // speed m/s, share, step, rule, pace
	N     int     // slabs
}

// Refusal is the error of an order that cannot be carried out.
type Refusal struct {
	Lever Lever
	Why   Reason
	Limit string // what would have been taken, empty when it is no matter of a number
}

// Error names the lever and the reason.
func (r *Refusal) Error() string {
	return fmt.Sprintf("%s refused: %s", Levers[r.Lever].Name, r.Reason())
}

// Reason says why, and what would have been taken.
func (r *Refusal) Reason() string { return r.Why.String() + r.Limit }

// limit is the value that would have been taken where an order asked for too much
// or too little, in the unit of the order; else 0.
func (w *Works) limit(o Order, why Reason) float64 {
	c := w.casterOf(o.Unit)
	switch {
	case why == ReasonTooFast && c >= 0:
		return w.P.products[w.S.Casters[c].Prod].castLimit[c]
	case why == ReasonTooSlow && c >= 0:
		return w.P.Spec.Casters[c].Slowest
	case why == ReasonWindRange:
		return w.P.Spec.Iron.LowWind
	}
	return 0
}

func sayLimit(why Reason, v float64) string {
	switch why {
	case ReasonTooFast:
		return fmt.Sprintf(", now at most %.2f m/min", math.Floor(v*60*100)/100)
	case ReasonTooSlow:
		return fmt.Sprintf(", at least %.2f m/min", math.Ceil(v*60*100)/100)
	case ReasonWindRange:
		return fmt.Sprintf(", %.0f %% to 100 %%", math.Ceil(v*100))
	}
	return ""
}

// Do carries out an order now, or refuses it with a reason; either is recorded.
func (w *Works) Do(o Order) error {
	why := w.do(o)
	e := record.Event{Kind: record.Ordered, A: int32(o.Lever), From: record.Place(o.Unit), To: record.Nowhere, Piece: o.Heat, X: int64(math.Round(o.Value * 1e6)), Y: int64(o.N)}
	if why != ReasonNone {
		e.Kind = record.Refused
		e.B = int32(why)
		limit := w.limit(o, why)
		e.Z = int64(math.Round(limit * 1e6))
		w.emit(e)
		return &Refusal{o.Lever, why, sayLimit(why, limit)}
	}
	w.emit(e)
	return nil
}

func (w *Works) casterOf(unit int) int {
	if c := unit - w.P.u.caster; c >= 0 && c < len(w.P.Spec.Casters) {
		return c
	}
	return -1
}

func (w *Works) do(o Order) Reason {
	s := &w.P.Spec
	n := &w.S.Net
	c := w.casterOf(o.Unit)
	switch o.Lever {
	case SetCasterSpeed:
		if c < 0 {
			return ReasonNotCasting
		}
		k := &w.S.Casters[c]
		if o.Value < s.Casters[c].Slowest*0.999 {
			return ReasonTooSlow
		}
		if o.Value > w.P.products[k.Prod].castLimit[c]*1.0001 {
			return ReasonTooFast
		}
		w.advanceCaster(c)
		k.Aim = o.Value
		w.setSpeedIfCasting(c)
		n.Wake(w.P.u.shop)
	case EndSequence:
		if c < 0 || w.S.Casters[c].Phase != phCasting {
			if c >= 0 {
				w.S.Casters[c].Closed = true
			}
			return ReasonNotCasting
		}
		k := &w.S.Casters[c]
		if k.EndAfter && k.Closed {
			return ReasonAlready
		}
		k.EndAfter, k.Closed = true, true
		for i := range w.S.Heats {
			if h := &w.S.Heats[i]; int(h.Caster) == c && h.Stage != htNone && h.Stage != htOpen {
				h.First = true
			}
		}
		w.placeClosed(c)
		n.Wake(w.P.u.shop)
	case ReopenCaster:
		if c < 0 || !w.S.Casters[c].Closed {
			return ReasonAlready
		}
		w.S.Casters[c].Closed = false
		n.Wake(w.P.u.shop)
		n.Wake(o.Unit)
	case ReturnHeat, DivertHeat, HoldHeat:
		return w.doHeat(o, c)
	case SetWind:
		if o.Value < 0 { // back to standing orders
			w.S.WindAuto = true
			w.standingWind()
			break
		}
		if o.Value < s.Iron.LowWind-1e-9 || o.Value > 1+1e-9 {
			return ReasonWindRange
		}
		w.S.WindAuto = false
		w.setWind(o.Value)
	case OpenOverflow:
		if s.Yard.Overflow <= 0 || s.Yard.OverflowRat <= 0 {
			return ReasonNoOverflow
		}
		if w.S.OverOpen {
			return ReasonAlready
		}
		w.S.OverOpen = true
		n.Wake(w.P.u.haulage)
	case CloseOverflow:
		if !w.S.OverOpen {
			return ReasonNotOpen
		}
		w.S.OverOpen = false
	case SetFurnacesBack:
		if o.Value < 0 || o.Value > float64(len(s.Furnaces[0].SetBacks)) || o.Value != math.Floor(o.Value) {
			return ReasonStep
		}
		w.S.HearthAuto = false
		for f := range s.Furnaces {
			if o.Unit < 0 || o.Unit == w.P.u.furnace+f {
				w.setBack(f, uint8(o.Value))
			}
		}
	case ChargeRule:
		if o.Value < 0 || int(o.Value) >= len(ruleNames) {
			return ReasonRule
		}
		if w.S.Rule == uint8(o.Value) {
			return ReasonAlready
		}
		w.S.Rule = uint8(o.Value)
		w.S.ProgLeft = 0 // build the next programme by the new rule
		w.wakeCranes()
	case ChangeRolls:
		t := &n.Units[w.P.u.train]
		if t.Has(flow.CauseChangeover) {
			return ReasonAlready
		}
		if !t.Has(flow.CauseDown) && !t.Has(flow.CauseMaintenance) {
			return ReasonRunning
		}
		if w.unknownStop(w.P.u.train) {
			return ReasonNotKnown
		}
		w.changeRolls()
	case PullPlanned:
		u := w.P.u.train
		if c >= 0 {
			u = o.Unit
		}
		if u == w.P.u.train && !w.millStopped() {
			return ReasonRunning
		}
		if w.unknownStop(u) {
			return ReasonNotKnown
		}
		return w.pullPlanned(u)
	case RestartRamp:
		if o.Value < 0.3 || o.Value > 1 {
			return ReasonPace
		}
		w.S.StagePace = o.Value
		w.S.Easy = int32(o.N)
	case ForceCooling, ProcessSpeed, OutsidePickling, SkipTemper, ByDueDate, WorkOvertime:
		return w.doCold(o)
	case StopTapping:
		if w.S.TapHold {
			return ReasonAlready
		}
		w.S.TapHold = true
	case ResumeTapping:
		if !w.S.TapHold {
			return ReasonNotStopped
		}
		w.S.TapHold = false
		n.Wake(w.P.u.shop)
	}
	return ReasonNone
}

// unknownStop says whether the unit has a trouble of which people do not know yet what
// it is. Work on it can then not be ordered, whoever has read what caution.
func (w *Works) unknownStop(u int) bool {
	for i := range w.S.Upsets {
		if up := &w.S.Upsets[i]; up.Active && !up.Told && int(up.Unit) == u {
			return true
		}
	}
	return false
}

func (w *Works) heatNumbered(no int32) int {
	for i := range w.S.Heats {
		if w.S.Heats[i].Stage != htNone && w.S.Heats[i].No == no {
			return i
		}
	}
	return -1
}

func (w *Works) doHeat(o Order, c int) Reason {
	i := w.heatNumbered(o.Heat)
	if i < 0 {
		return ReasonNoHeat
	}
	h := &w.S.Heats[i]
	switch h.Stage {
	case htOpen:
		return ReasonHeatOpen
	case htBlowing, htNoLadle:
		return ReasonNotTapped
	}
	switch o.Lever {
	case ReturnHeat:
		w.returnHeat(i, ReasonOrdered)
	case DivertHeat:
		if c < 0 || int(h.Caster) == c {
			return ReasonAlready
		}
		if !w.canTake(c, i) {
			return ReasonCannotTake
		}
		w.divert(i, c)
	case HoldHeat:
		if h.Stage == htReheat {
			return ReasonAlready
		}
		if h.Held >= calendar.Dur(w.P.Spec.Shop.ReheatHold) {
			return ReasonHeldOut
		}
		if !w.S.StandFree || h.Stage != htWaiting {
			return ReasonStandBusy
		}
		h.Hold = true
		w.toReheat(i)
	}
	return ReasonNone
}

// placeClosed finds a fate for heats of a caster that people have closed.
func (w *Works) placeClosed(c int) {
	for i := range w.S.Heats {
		h := &w.S.Heats[i]
		if int(h.Caster) != c || h.Stage != htWaiting && h.Stage != htTreating {
			continue
		}
		for o := range w.P.Spec.Casters {
			if o != c && w.canTake(o, i) {
				w.divert(i, o)
				break
			}
		}
	}
}
