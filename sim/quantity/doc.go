// Package quantity reads and writes numbers the way people in a works write
// them: "230 mm", "1.1 m/min", "445 t/h", "120 EUR/t", "9 h", "22:40".
//
// Inside the program every number is in SI units (m, s, kg, N, Pa, W, J, K),
// every share is a fraction of one, money is in whole units of one currency and
// clock times are local civil time (see Clock). Parse turns text into such a
// number and refuses text of the wrong kind with a sentence that says what is
// wrong and what to write instead; the Format functions turn numbers back into
// text. Nothing here depends on a locale or on the machine's clock.
//
// Conventions of the text form:
//   - decimal point, comma only between groups of three digits ("19,500 t");
//   - units are case sensitive ("MN" is not "mN"), as in the SI brochure;
//   - everything after the first "/" or "per" is below the line, so
//     "W/m2K", "W/m2 K" and "W/(m2 K)" are the same unit;
//   - a currency is any word of three capital letters, also with k or M before
//     it ("kEUR", "MEUR"), and "thousand" and "million" are numbers;
//   - a year is 365 days, a month a twelfth of it, a week 7 days, a day 24 hours.
package quantity

import "errors"

// sentence makes an error whose text is whole sentences for the person who
// wrote the file, not a fragment to be wrapped.
func sentence(text string) error { return errors.New(text) }
