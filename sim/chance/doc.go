// Package chance is keyed luck and the laws it is turned into.
//
// A draw is a pure function of its key (seed, future, purpose, entity, index):
// there is no stream, no order of drawing and no state, so two plans that act
// differently meet the same luck for the same heat, slab or failure. One uniform
// makes one quantity through the inverse of a distribution function, which keeps
// the quantity monotone in its luck when a lever changes the law.
//
// The laws are Fixed, Exponential, Weibull, Lognormal (median and one in ten), Told,
// Gamma, Triangular, Pert and Uniform, each a Law, which may be Cut at a longest value;
// Empirical and Mixture hold lists.
// FitLaw makes a law from spells, of which some may still have been open when the
// record ended; KaplanMeier shows them without a law; Distance, CriticalA2, CriticalD
// and Bootstrap say whether a law suits them (Fit.Judged: the law and the critical
// values that go with a fit).
//
// Times and lives are in the unit the law was made in (seconds inside the
// program). Laws are plain values: comparable, without pointers, and safe to
// copy. Functions allocate nothing; bad parameters are refused by the
// constructors: values are taken up to 1e15, shapes of weibull and gamma from 0.1
// to 10000, standard deviations of a logarithm up to 8. A draw of the closed laws costs some 30 to 110 ns; gamma and pert
// invert incomplete functions and cost 1 to 13 us: take them for what happens
// now and then, not for every piece at every unit.
package chance
