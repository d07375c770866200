package works

import "millrace/sim/calendar"

// Topics that a director can wait for.
const (
	TopicTime  uint32 = 1 << iota // its own time has come
	TopicStops                    // a unit stopped or came back
	TopicWords                    // people were told something
	TopicHeats                    // a heat was opened, a sequence began or ended
)

// Director gives a plan's orders. It is asked after an instant has settled, and
// sees the works only through what people can know.
type Director interface {
	// Wants says at what time the director wants to be asked at the latest, Never
	// for no time, and which topics bring it earlier.
	Wants() (calendar.Time, uint32)
	// Ask lets the director look and give orders with Works.Do.
	Ask(w *Works)
}

// ask asks the director when what it waits for has come; it reports whether it
// was asked.
func (w *Works) ask() bool {
	if !w.wanted {
		w.wantAt, w.wantTopics = w.Director.Wants()
		w.wanted = true
		w.bookAsk()
	}
	if w.wantTopics&w.S.Dirty == 0 && w.Now() < w.wantAt {
		return false
	}
	w.S.Dirty = 0
	w.Director.Ask(w)
	if e, ok := w.Director.(interface{ Err() error }); ok && e.Err() != nil {
		w.err = e.Err()
	}
	w.wantAt, w.wantTopics = w.Director.Wants()
	w.bookAsk()
	return true
}

func (w *Works) bookAsk() {
	w.S.Net.Cal.Cancel(w.S.asked)
	w.S.asked = 0
	if w.wantAt != calendar.Never {
		w.S.asked = w.S.Net.Cal.Book(w.wantAt, calendar.Order, calendar.Event{Kind: evAsk})
	}
}
