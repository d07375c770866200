// Package judge turns the results of many futures into a verdict: intervals
// for means, differences, quantiles and chances, and the comparison of plans
// that all met the same futures.
//
// The unit of observation is always the future: one number per future, never
// the coils or hours inside one, which are correlated. The package knows no
// steel and no clock; numbers go in and numbers come out, in whatever unit the
// caller uses. Every function is a pure function of its arguments and leaves
// them untouched. Inputs that are not finite are refused with an error, and no
// result is NaN or infinite.
//
// Works named in the comments are cited from memory unless the comment says
// otherwise; the numbers the tests compare with are named in testdata.
package judge
