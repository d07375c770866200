package drill

import (
	"testing"

	"millrace/sim/calendar"
)

// A store that is full already and is left and full again within minutes is not what the
// window ahead reaches for: the slab yard behind it is.
func TestWindowReachesPastWhatIsThere(t *testing.T) {
	l := &looker{n: 2}
	gas, yard := 5*calendar.Minute, calendar.Never
	for range 2 {
		l.ahead = append(l.ahead, ahead{first: []calendar.Time{gas, yard}})
	}
	if l.reached([]bool{true, false}) {
		t.Error("the fuel gas, full already, ends the window")
	}
	if !l.reached([]bool{false, false}) {
		t.Error("fuel gas full in five minutes does not end the window")
	}
	l.ahead[0].first[1] = 20 * calendar.Hour
	if !l.reached([]bool{true, false}) {
		t.Error("the slab yard, full in half the runs, does not end the window")
	}
}
