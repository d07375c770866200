package judge

import (
	"fmt"
	"math"
)

// Stopping decides when enough futures have been run. Futures may finish in any
// order, on any number of workers: the rule looks at them in the order of their
// numbers only, up to the first that is missing, so that short futures, which
// finish first, do not bias it and the answer does not depend on the workers.
type Stopping struct {
	rule  StopRule
	value []float64
	have  []bool
	next  int  // futures 0..next-1 are here
	at    int  // futures after which it stopped, 0 = not yet
	good  bool // because the precision was reached
}

// StopRule says what is precise enough. One of Half and Relative is above zero.
type StopRule struct {
	Level float64
	// Half is the half width to reach: use it for differences.
	Half float64
	// Relative is the half width as a share of the mean, taken as
	// Relative/(1+Relative) because the mean is estimated too (A. M. Law,
	// Simulation Modeling and Analysis; Y. S. Chow, H. Robbins, Annals of
	// Mathematical Statistics 36 (1965) 457). Never for a difference, whose mean may
	// be near zero.
	Relative float64
	// Least (2 or more, 10 is wise, 20 if skewed) and Most futures, and Every how
	// many the rule is asked (1 if 0). The coverage of the interval at which it
	// stops is a little below Level: less so the larger Least.
	Least, Most, Every int
}

// NewStopping refuses rules that make no sense.
func NewStopping(r StopRule) (*Stopping, error) {
	if err := checkLevel(r.Level); err != nil {
		return nil, err
	}
	if err := checkSample([]float64{r.Half, r.Relative}, 0); err != nil {
		return nil, err
	}
	if r.Half < 0 || r.Relative < 0 || (r.Half > 0) == (r.Relative > 0) || r.Relative >= 1 {
		return nil, fmt.Errorf("one of half width %g and relative %g must be given: %w", r.Half, r.Relative, errPrecision)
	}
	if r.Least < 2 || r.Most < r.Least || r.Every < 0 {
		return nil, fmt.Errorf("%w: least %d, most %d, every %d", ErrTooFew, r.Least, r.Most, r.Every)
	}
	r.Every = max(1, r.Every)
	return &Stopping{rule: r}, nil
}

// Take notes the value of a future, counted from 0. Each future once.
func (s *Stopping) Take(future int, v float64) error {
	if future < 0 || future >= s.rule.Most {
		return fmt.Errorf("future %d is not among the first %d", future, s.rule.Most)
	}
	if bad(v) {
		return fmt.Errorf("future %d: %w", future, ErrNotFinite)
	}
	for len(s.have) <= future {
		s.have, s.value = append(s.have, false), append(s.value, 0)
	}
	if s.have[future] {
		return fmt.Errorf("future %d was taken before", future)
	}
	s.have[future], s.value[future] = true, v
	for s.next < len(s.have) && s.have[s.next] {
		s.next++
		s.look()
	}
	return nil
}

func (s *Stopping) look() {
	n, r := s.next, s.rule
	if s.at > 0 || n < r.Least {
		return
	}
	if (n-r.Least)%r.Every == 0 {
		m, err := MeanInterval(s.value[:n], r.Level)
		half := r.Half
		if r.Relative > 0 {
			half = r.Relative / (1 + r.Relative) * math.Abs(m.Mean)
		}
		if err == nil && m.Half <= half {
			s.at, s.good = n, true
			return
		}
	}
	if n == r.Most {
		s.at = n
	}
}

// Done tells whether to stop. Futures 0 to futures-1 are then the result; later
// ones that happen to be there are not to be used. precise is false when Most was
// reached first.
func (s *Stopping) Done() (done bool, futures int, precise bool) {
	return s.at > 0, s.at, s.good
}

// Values are those of the futures of the result, in order; before Done, of the
// unbroken row so far.
func (s *Stopping) Values() []float64 {
	if s.at > 0 {
		return s.value[:s.at:s.at]
	}
	return s.value[:s.next:s.next]
}
