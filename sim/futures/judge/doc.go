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
// Which to take: Paired for two plans in the same futures, Best for more, with
// ChanceMeanBest and ShareWon as the two chances of being best; AllPairs and
// AgainstStandard where each difference matters; Unpaired and ChanceMeanBestApart
// only for plans that met different futures. QuantileInterval for early and late,
// Wilson for chances, PairedDifference for chances of two plans. Stopping says when
// enough futures were run; ScreenPlans drops poor plans on the way. For one long run:
// WarmUpEnd, then BatchMeans. Accept and AcceptInTwo are the rules by which tests
// hold a simulation against an exact mean.
//
// Works named in the comments are cited from memory unless the comment says
// otherwise; the numbers the tests compare with are named in testdata.
package judge
