// Package cashflow turns money over time into the measures of a capital request:
// net present value, internal rates of return (every one there is, or the
// statement that there is none), modified rate, payback and equivalent annual
// worth, with the factors of engineering economy.
//
// Money is in whatever currency the caller uses; money received is positive,
// money spent negative. Rates are per period as a fraction: 0.1 is 10 %. They
// must be above -1. Flows without dates are spaced one period apart, the first
// at time 0, unless a name says otherwise. Rates and flows must speak the same
// language: both nominal or both real (see Nominal), both before or both after
// tax.
//
// Never average internal rates over futures, and never take the rate of the
// average for the average rate: average net present values.
//
// Every function is a pure function of its arguments and leaves them untouched.
// The formulas are those of any text of engineering economy (for example E. L.
// Grant, W. G. Ireson, R. S. Leavenworth, Principles of Engineering Economy,
// from memory); the numbers the tests compare with are named in testdata.
package cashflow
