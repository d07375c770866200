// Package capital works out whether a change to the works is worth its money,
// against doing nothing and doing less.
//
// Every option is the same works with something changed, played for years of
// operation. All options meet the same futures: an upset of a unit comes at the same
// operating age and its repair has the same luck, whatever else differs. What an
// option gains in a year is what the first option's year cost beyond its own, by the
// same account of money that plans are compared with. Building time, ramp, payments
// and running costs are laid over that, tie-in stops are played on the first option's
// works, and the flows become net present value and the other measures of a request,
// future by future.
//
// Money is rounded to whole units of the currency once, where a flow is made; all
// sums printed anywhere are sums of those, so they add up.
package capital
