package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Clock is an instant on the works' own wall clock: microseconds from
// 1970-01-01 00:00 in local civil time. There is no time zone in it and no
// daylight saving: every day has 24 hours, and the difference of two Clocks is
// the difference of two readings of a clock that nobody puts forward or back.
type Clock int64

// Spans of time in Clock units.
const (
	Second Clock = 1_000_000
	Minute       = 60 * Second
	Hour         = 60 * Minute
	Day          = 24 * Hour
)

var (
	weekdays = [7]string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}
	months   = [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}
)

// Add gives the instant so many seconds later, to the nearest microsecond. An
// amount that is not finite, or that leaves the years 1 to 9999, is held at the
// end of that range (NaN leaves the clock where it is).
func (c Clock) Add(seconds float64) Clock {
	if math.IsNaN(seconds) {
		return c
	}
	us := float64(c) + math.Round(seconds*1e6)
	if us >= float64(clockMax) {
		return clockMax
	}
	if us <= float64(clockMin) {
		return clockMin
	}
	return c + Clock(math.Round(seconds*1e6))
}

// Sub gives the seconds from d to c.
func (c Clock) Sub(d Clock) float64 { return float64(c-d) / 1e6 }

var (
	clockMin = Clock(daysOf(1, 1, 1)) * Day
	clockMax = Clock(daysOf(10000, 1, 1))*Day - 1
)

// day gives whole days since 1970-01-01 and what is left of the day.
func (c Clock) day() (days int64, within Clock) {
	days = int64(c / Day)
	within = c % Day
	if within < 0 {
		days--
		within += Day
	}
	return days, within
}

// StartOfDay is the midnight at or before c.
func (c Clock) StartOfDay() Clock { _, w := c.day(); return c - w }

// Weekday is 0 for Monday to 6 for Sunday.
func (c Clock) Weekday() int { d, _ := c.day(); return weekdayOf(d) }

// Date is the civil date of c.
func (c Clock) Date() (year, month, day int) { d, _ := c.day(); return dateOf(d) }

// HourOfDay is the time of day in hours, from 0 to below 24.
func (c Clock) HourOfDay() float64 { _, w := c.day(); return float64(w) / float64(Hour) }

func weekdayOf(days int64) int { return int(((days+3)%7 + 7) % 7) } // 1970-01-01 was a Thursday

// daysOf counts days from 1970-01-01 to a date of the Gregorian calendar, by
// 400-year cycles of 146097 days counted from 1 March of year 0.
func daysOf(year, month, day int) int64 {
	y := int64(year)
	if month <= 2 {
		y--
	}
	era := floorDiv(y, 400)
	yearOfEra := y - era*400
	fromMarch := int64((month + 9) % 12)
	dayOfYear := (153*fromMarch+2)/5 + int64(day) - 1
	dayOfEra := yearOfEra*365 + yearOfEra/4 - yearOfEra/100 + dayOfYear
	return era*146097 + dayOfEra - 719468
}

// dateOf undoes daysOf.
func dateOf(days int64) (year, month, day int) {
	days += 719468
	era := floorDiv(days, 146097)
	dayOfEra := days - era*146097
	yearOfEra := (dayOfEra - dayOfEra/1460 + dayOfEra/36524 - dayOfEra/146096) / 365
	y := yearOfEra + era*400
	dayOfYear := dayOfEra - (365*yearOfEra + yearOfEra/4 - yearOfEra/100)
	fromMarch := (5*dayOfYear + 2) / 153
	day = int(dayOfYear - (153*fromMarch+2)/5 + 1)
	month = int((fromMarch+2)%12 + 1)
	if month <= 2 {
		y++
	}
	return int(y), month, day
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

func daysIn(year, month int) int {
	if month == 12 {
		return 31
	}
	return int(daysOf(year, month+1, 1) - daysOf(year, month, 1))
}

const clockExample = `"2031-11-07 22:40"`

// ParseClock reads "2031-11-07 22:40", "2031-11-07T22:40:05.250" or a bare date
// (midnight). A zone at the end, as RFC 3339 has it, is checked and dropped: the
// reading of the clock counts. ParseClockZone keeps it.
func ParseClock(text string) (Clock, error) {
	c, _, _, err := ParseClockZone(text)
	return c, err
}

// ParseClockZone is ParseClock and also returns the offset from UTC in seconds,
// if the text has one.
func ParseClockZone(text string) (c Clock, offset int, hasOffset bool, err error) {
	s := strings.TrimSpace(text)
	bad := func(why string) (Clock, int, bool, error) {
		return 0, 0, false, sentence(quote(text) + " " + why + "; write date and time like " + clockExample + ".")
	}
	if len(s) < 10 || s[4] != '-' || s[7] != '-' || !allDigits(s[0:4]) || !allDigits(s[5:7]) || !allDigits(s[8:10]) {
		return bad("is not a date and time")
	}
	year, month, day := atoi(s[0:4]), atoi(s[5:7]), atoi(s[8:10])
	if year < 1 {
		return bad("has a year before 1")
	}
	if month < 1 || month > 12 {
		return bad("has no such month")
	}
	if day < 1 || day > daysIn(year, month) {
		return bad("has no such day in that month")
	}
	c = Clock(daysOf(year, month, day)) * Day
	rest := s[10:]
	if rest == "" {
		return c, 0, false, nil
	}
	if rest[0] != ' ' && rest[0] != 'T' && rest[0] != 't' {
		return bad("is not a date and time")
	}
	rest = strings.TrimLeft(rest[1:], " ")
	clock := rest
	if i := strings.IndexAny(rest, "Zz+-"); i >= 0 {
		zone := rest[i:]
		clock = strings.TrimRight(rest[:i], " ")
		switch {
		case zone == "Z" || zone == "z":
		case len(zone) == 6 && zone[3] == ':' && allDigits(zone[1:3]) && allDigits(zone[4:6]) && atoi(zone[1:3]) < 24 && atoi(zone[4:6]) < 60:
			offset = atoi(zone[1:3])*3600 + atoi(zone[4:6])*60
			if zone[0] == '-' {
				offset = -offset
			}
		default:
			return bad("ends in a time zone that is not like \"Z\" or \"+01:00\"")
		}
		hasOffset = true
	}
	within, ok := timeOfDay(clock)
	if !ok {
		return bad("has no such time of day")
	}
	return c + within, offset, hasOffset, nil
}

// timeOfDay reads "22:40", "22:40:05" or "22:40:05.25"; "24:00" is the end of
// the day.
func timeOfDay(s string) (Clock, bool) {
	parts := strings.Split(s, ":")
	if len(parts) != 2 && len(parts) != 3 {
		return 0, false
	}
	if len(parts[0]) < 1 || len(parts[0]) > 2 || len(parts[1]) != 2 || !allDigits(parts[0]) || !allDigits(parts[1]) {
		return 0, false
	}
	c := Clock(atoi(parts[0]))*Hour + Clock(atoi(parts[1]))*Minute
	if atoi(parts[1]) > 59 || atoi(parts[0]) > 24 {
		return 0, false
	}
	if len(parts) == 3 {
		whole, frac, hasFrac := strings.Cut(parts[2], ".")
		if len(whole) != 2 || !allDigits(whole) || atoi(whole) > 59 || hasFrac && (frac == "" || len(frac) > 9 || !allDigits(frac)) {
			return 0, false
		}
		c += Clock(atoi(whole)) * Second
		if hasFrac {
			c += Clock(atoi((frac + "000000")[:6]))
		}
	}
	return c, c <= Day
}

// ParseClockNear reads a short clock time as people say it and gives the latest
// instant, not after ref, that it fits: "22:40", "Fri 22:40",
// "yesterday 22:40", "Fri 7 Nov 22:40", or a full date and time as it stands.
func ParseClockNear(text string, ref Clock) (Clock, error) { return parseShort(text, ref, -1) }

// ParseClockNext is ParseClockNear for a time to come: the earliest instant, not
// before ref, that fits.
func ParseClockNext(text string, ref Clock) (Clock, error) { return parseShort(text, ref, 1) }

// parseShort looks for the text day by day from ref in one direction. Four
// years hold every date but 29 February round a century; eight hold that too.
func parseShort(text string, ref Clock, step int64) (Clock, error) {
	fields := strings.Fields(text)
	fail := func() (Clock, error) {
		return 0, sentence(quote(text) + " is not a clock time; write for example \"22:40\", \"Fri 22:40\" or " + clockExample + ".")
	}
	if len(fields) == 0 {
		return fail()
	}
	if len(fields[0]) >= 10 && fields[0][4] == '-' {
		return ParseClock(text)
	}
	within, ok := timeOfDay(fields[len(fields)-1])
	if !ok {
		return fail()
	}
	weekday, day, month, year, apart := -1, 0, 0, 0, int64(-1)
	for _, f := range fields[:len(fields)-1] {
		f = strings.Trim(f, ",")
		switch {
		case strings.EqualFold(f, "today"):
			apart = 0
		case strings.EqualFold(f, "yesterday") && step < 0, strings.EqualFold(f, "tomorrow") && step > 0:
			apart = 1
		case indexPrefix(f, weekdays[:]) >= 0 && weekday < 0:
			weekday = indexPrefix(f, weekdays[:])
		case allDigits(f) && len(f) <= 2 && day == 0:
			day = atoi(f)
		case indexPrefix(f, months[:]) >= 0 && month == 0:
			month = indexPrefix(f, months[:]) + 1
		case allDigits(f) && len(f) == 4 && year == 0:
			year = atoi(f)
		default:
			return fail()
		}
	}
	if (day == 0) != (month == 0) || year != 0 && day == 0 {
		return fail()
	}
	if year != 0 {
		if day > daysIn(year, month) {
			return fail()
		}
		c := Clock(daysOf(year, month, day))*Day + within
		if weekday >= 0 && c.StartOfDay().Weekday() != weekday {
			return 0, sentence(quote(text) + " names the wrong day of the week: that date is a " + weekdays[c.StartOfDay().Weekday()] + ".")
		}
		return c, nil
	}
	refDay, refWithin := ref.day()
	for n := int64(0); n <= 8*366+1; n++ {
		d := refDay + step*n
		if n == 0 && apart < 0 && (step < 0 && within > refWithin || step > 0 && within < refWithin) {
			continue
		}
		if apart >= 0 && n != apart {
			continue
		}
		if weekday >= 0 && weekdayOf(d) != weekday {
			continue
		}
		if day != 0 {
			if _, m, dd := dateOf(d); m != month || dd != day {
				continue
			}
		}
		return Clock(d)*Day + within, nil
	}
	return 0, sentence(quote(text) + " fits no day within eight years of " + ref.String() + "; write the date in full, like " + clockExample + ".")
}

// indexPrefix finds an English day or month name, short or written out.
func indexPrefix(word string, short []string) int {
	if len(word) < 3 {
		return -1
	}
	for i, s := range short {
		if strings.EqualFold(word[:3], s) && (len(word) == 3 || isLetters(word)) {
			return i
		}
	}
	return -1
}

func isLetters(s string) bool {
	for i := 0; i < len(s); i++ {
		if c := s[i] | 0x20; c < 'a' || c > 'z' {
			return false
		}
	}
	return true
}

func allDigits(s string) bool {
	for i := 0; i < len(s); i++ {
		if !isDigit(s[i]) {
			return false
		}
	}
	return s != ""
}

func atoi(s string) int { n, _ := strconv.Atoi(s); return n }

func two(n int) string {
	if n < 10 {
		return "0" + strconv.Itoa(n)
	}
	return strconv.Itoa(n)
}

// FormatClock writes c to the minute, as seen from ref: "Fri 22:40" from
// yesterday to five days ahead (there the day name is unmistakable),
// "Sat 8 Nov 17:20" otherwise, with the year if it is another one.
func FormatClock(c, ref Clock) string {
	c += Minute / 2 // to the nearest minute
	d, w := c.day()
	r, _ := ref.day()
	s := weekdays[weekdayOf(d)]
	if d < r-1 || d > r+5 {
		year, month, day := dateOf(d)
		s += " " + strconv.Itoa(day) + " " + months[month-1]
		if refYear, _, _ := dateOf(r); refYear != year {
			s += " " + strconv.Itoa(year)
		}
	}
	return s + " " + two(int(w/Hour)) + ":" + two(int(w%Hour/Minute))
}

// String writes c as ParseClock reads it: "2031-11-07 22:40", with seconds and
// decimals only where there are any.
func (c Clock) String() string { return c.write(' ', false) }

// ISO writes c in ISO 8601 to the second or finer, without a zone:
// "2031-11-07T22:40:00".
func (c Clock) ISO() string { return c.write('T', true) }

func (c Clock) write(sep byte, seconds bool) string {
	d, w := c.day()
	year, month, day := dateOf(d)
	y := strconv.Itoa(year)
	for len(y) < 4 {
		y = "0" + y
	}
	s := y + "-" + two(month) + "-" + two(day) + string(sep) + two(int(w/Hour)) + ":" + two(int(w%Hour/Minute))
	sec := w % Minute
	if sec == 0 && !seconds {
		return s
	}
	s += ":" + two(int(sec/Second))
	if us := sec % Second; us != 0 {
		f := strconv.Itoa(int(us))
		for len(f) < 6 {
			f = "0" + f
		}
		s += "." + strings.TrimRight(f, "0")
	}
	return s
}
