package calendar

import (
	"fmt"
	"math"
)

// Time is simulated time in microseconds since the start of the run; it also
// serves as a length of time.
type Time int64

// Lengths of time.
const (
	Microsecond Time = 1
	Millisecond Time = 1000
	Second      Time = 1000 * Millisecond
	Minute      Time = 60 * Second
	Hour        Time = 60 * Minute
	Day         Time = 24 * Hour

	// Never is later than every event.
	Never Time = math.MaxInt64
)

// maxSeconds is the longest length that FromSeconds accepts, about 3,170 years.
const maxSeconds = 1e11

// FromSeconds turns computed seconds into time, rounded to one millisecond.
// NaN and negative values are refused with an error; values beyond about
// 3,000 years, +Inf included, become Never.
func FromSeconds(s float64) (Time, error) {
	if math.IsNaN(s) || s < 0 {
		return 0, fmt.Errorf("calendar: %v s is no length of time", s)
	}
	return Dur(s), nil
}

// Dur is FromSeconds for values the caller has already checked: NaN and
// negative values become zero, very large ones Never.
func Dur(s float64) Time {
	if !(s > 0) {
		return 0
	}
	if s > maxSeconds {
		return Never
	}
	return Time(math.Round(s*1000)) * Millisecond
}

// Seconds returns the time in seconds.
func (t Time) Seconds() float64 { return float64(t) / float64(Second) }

// Hours returns the time in hours.
func (t Time) Hours() float64 { return float64(t) / float64(Hour) }
