package quantity

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
)

// The calendar against the Go standard library's, from the year 1 to 9999.
func TestClockAgainstStandardLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		us := rapid.Int64Range(int64(clockMin), int64(clockMax)).Draw(t, "us")
		c, s := Clock(us), time.UnixMicro(us).UTC()
		year, month, day := c.Date()
		if year != s.Year() || month != int(s.Month()) || day != s.Day() {
			t.Fatalf("%d: %d-%d-%d, library %v", us, year, month, day, s)
		}
		if (c.Weekday()+1)%7 != int(s.Weekday()) {
			t.Fatalf("weekday %d, library %v", c.Weekday(), s.Weekday())
		}
		if want := s.Format("2006-01-02 15:04:05.999999"); c.String() != want && c.String()+":00" != want {
			t.Fatalf("%q, library %q", c.String(), want)
		}
		if back, err := ParseClock(c.String()); err != nil || back != c {
			t.Fatalf("%q reads back as %d: %v", c, back, err)
		}
		if back, err := ParseClock(c.ISO()); err != nil || back != c {
			t.Fatalf("%q reads back as %d: %v", c.ISO(), back, err)
		}
	})
}

func TestParseClock(t *testing.T) {
	want := Clock(time.Date(2031, 11, 7, 22, 40, 0, 0, time.UTC).UnixMicro())
	for _, text := range []string{"2031-11-07 22:40", "2031-11-07T22:40", "2031-11-07T22:40:00", "2031-11-07T22:40:00Z", "2031-11-07T22:40:00+01:00", " 2031-11-07 22:40:00.000 "} {
		if c, err := ParseClock(text); err != nil || c != want {
			t.Errorf("ParseClock(%q) = %v, %v", text, c, err)
		}
	}
	if c, off, has, err := ParseClockZone("2031-11-07T22:40:00-03:30"); err != nil || c != want || off != -12600 || !has {
		t.Error(c, off, has, err)
	}
	if c, err := ParseClock("2028-02-29 24:00"); err != nil || c.String() != "2028-03-01 00:00" {
		t.Error(c, err)
	}
	if c, err := ParseClock("2031-11-07"); err != nil || c != want.StartOfDay() {
		t.Error(c, err)
	}
	for text, says := range map[string]string{
		"2031-13-07 22:40": "no such month", "2031-02-29 10:00": "no such day", "2031-11-07 25:00": "no such time", "2031-11-07 22:60": "no such time",
		"7.11.2031 22:40": "not a date and time", "22:40": "not a date and time", "": "not a date and time", "2031-11-07T22:40+1": "time zone", "2031-11-07 24:01": "no such time",
		"0000-01-01 00:00": "year before 1",
	} {
		if _, err := ParseClock(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("ParseClock(%q): %v", text, err)
		}
	}
}

func TestParseClockNearAndNext(t *testing.T) {
	ref, _ := ParseClock("2031-11-08 06:00") // a Saturday
	for text, want := range map[string]string{
		"22:40": "2031-11-07 22:40", "05:59": "2031-11-08 05:59", "06:00": "2031-11-08 06:00", "6:01": "2031-11-07 06:01",
		"Fri 22:40": "2031-11-07 22:40", "Sat 22:40": "2031-11-01 22:40", "saturday 05:00": "2031-11-08 05:00",
		"yesterday 01:00": "2031-11-07 01:00", "today 23:00": "2031-11-08 23:00",
		"8 Nov 17:20": "2030-11-08 17:20", "Fri 7 Nov 22:40": "2031-11-07 22:40", "29 Feb 12:00": "2028-02-29 12:00",
		"7 Nov 2031 22:40": "2031-11-07 22:40", "2031-11-07 22:40": "2031-11-07 22:40",
	} {
		if c, err := ParseClockNear(text, ref); err != nil || c.String() != want {
			t.Errorf("near %q = %v, %v, want %s", text, c, err, want)
		}
	}
	for text, want := range map[string]string{
		"22:40": "2031-11-08 22:40", "05:59": "2031-11-09 05:59", "06:00": "2031-11-08 06:00", "Fri 22:40": "2031-11-14 22:40", "tomorrow 01:00": "2031-11-09 01:00", "29 Feb 12:00": "2032-02-29 12:00",
	} {
		if c, err := ParseClockNext(text, ref); err != nil || c.String() != want {
			t.Errorf("next %q = %v, %v, want %s", text, c, err, want)
		}
	}
	for _, text := range []string{"", "noon", "Fri", "tomorrow 10:00", "8 17:20", "31 Feb 10:00", "Fri 7 Nov 2032 10:00", "Fri Sat 10:00", "25:00"} {
		if c, err := ParseClockNear(text, ref); err == nil {
			t.Errorf("near %q = %v", text, c)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		ref := Clock(rapid.Int64Range(0, int64(100*366*Day)).Draw(t, "ref"))
		text := two(rapid.IntRange(0, 23).Draw(t, "h")) + ":" + two(rapid.IntRange(0, 59).Draw(t, "m"))
		a, err1 := ParseClockNear(text, ref)
		b, err2 := ParseClockNext(text, ref)
		if err1 != nil || err2 != nil || a > ref || b < ref || ref-a >= Day || b-ref >= Day || (b-a != Day && b != a) {
			t.Fatal(text, ref, a, b, err1, err2)
		}
	})
}

func TestFormatClock(t *testing.T) {
	ref, _ := ParseClock("2031-11-07 22:40") // a Friday
	for text, want := range map[string]string{
		"2031-11-07 22:40": "Fri 22:40", "2031-11-08 17:20": "Sat 17:20", "2031-11-06 01:00": "Thu 01:00", "2031-11-05 01:00": "Wed 5 Nov 01:00",
		"2031-11-12 09:05": "Wed 09:05", "2031-11-13 09:05": "Thu 13 Nov 09:05", "2032-01-02 00:00": "Fri 2 Jan 2032 00:00", "2031-11-07 23:59:40": "Sat 00:00",
	} {
		c, err := ParseClock(text)
		if got := FormatClock(c, ref); err != nil || got != want {
			t.Errorf("FormatClock(%s) = %q, want %q", text, got, want)
		}
	}
	if got := ref.Add(90.5).Sub(ref); got != 90.5 {
		t.Error(got)
	}
	if ref.HourOfDay() < 22.66 || ref.HourOfDay() > 22.67 {
		t.Error(ref.HourOfDay())
	}
}

func TestFormatNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{FormatNumber(19500, 0), "19,500"}, {FormatNumber(-1234567.891, 2), "-1,234,567.89"}, {FormatNumber(-0.2, 0), "0"}, {FormatNumber(999, 0), "999"}, {FormatNumber(0, 1), "0.0"},
		{FormatDuration(45), "45 s"}, {FormatDuration(2.5), "2.5 s"}, {FormatDuration(2400), "40 min"}, {FormatDuration(18.7 * 3600), "18.7 h"}, {FormatDuration(9 * 3600), "9 h"}, {FormatDuration(2.3 * 86400), "2.3 d"}, {FormatDuration(-2400), "-40 min"}, {FormatDuration(0), "0 s"}, {FormatDuration(inf), "never"}, {FormatDuration(nan), "not known"},
		{FormatDuration(89.9), "90 s"}, {FormatDuration(7199), "120 min"}, {FormatDuration(47.99 * 3600), "48 h"},
		{FormatMass(19.5e6), "19,500 t"}, {FormatMass(23200), "23.2 t"}, {FormatMass(7250), "7.25 t"}, {FormatMass(850), "850 kg"}, {FormatMass(0.25), "250 g"}, {FormatMass(nan), "not known"},
		{FormatMoney(1.23e6, "EUR"), "1.23 million EUR"}, {FormatMoney(84000, "EUR"), "84,000 EUR"}, {FormatMoney(999999.7, "EUR"), "1.00 million EUR"}, {FormatMoney(12.5, "EUR"), "12.50 EUR"}, {FormatMoney(-840.4, "EUR"), "-840 EUR"}, {FormatMoney(1.23e9, ""), "1,230.00 million"},
		{FormatShare(0.6), "60 %"}, {FormatShare(0.004), "0.4 %"},
		{Format(0.230, Length), "230 mm"}, {Format(123.61, MassRate), "445 t/h"}, {Format(1523.15, Temperature), "1,250 C"}, {Format(0.12, MoneyPerMass), "120/t"}, {Format(38e6, Force), "38 MN"}, {Format(20./3600, Rate), "20 per h"}, {Format(1500, HeatTransfer), "1,500 W/m2K"}, {Format(18e6, Pressure), "18 MPa"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
