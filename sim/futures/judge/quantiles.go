package judge

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// NormalQuantile is the standard normal value that a share p stays below.
func NormalQuantile(p float64) (float64, error) {
	if err := checkLevel(p); err != nil {
		return 0, err
	}
	return distuv.UnitNormal.Quantile(p), nil
}

// StudentQuantile is the quantile of Student's t with nu > 0 degrees of freedom.
func StudentQuantile(p, nu float64) (float64, error) {
	if err := checkDegrees(p, nu); err != nil {
		return 0, err
	}
	return studentQuantile(p, nu), nil
}

// ChiSquareQuantile is the quantile of chi-square with nu > 0 degrees of freedom.
func ChiSquareQuantile(p, nu float64) (float64, error) {
	if err := checkDegrees(p, nu); err != nil {
		return 0, err
	}
	// The smaller tail is the exact one.
	if p <= 0.5 {
		// Far down, where the inverse gives 0, P(a,x) is x^a/Gamma(a+1) (1 - a x/(a+1))
		// (Abramowitz & Stegun 6.5.29).
		a := nu / 2
		lg, _ := math.Lgamma(a + 1)
		if x := math.Exp((math.Log(p) + lg) / a); x < 1e-8 {
			return 2 * x * (1 + x/(a+1)), nil
		}
		return 2 * mathext.GammaIncRegInv(nu/2, p), nil
	}
	return 2 * mathext.GammaIncRegCompInv(nu/2, 1-p), nil
}

// FQuantile is the quantile of the F law with nu1 and nu2 > 0 degrees of freedom.
func FQuantile(p, nu1, nu2 float64) (float64, error) {
	if err := checkDegrees(p, nu1); err != nil {
		return 0, err
	}
	if err := checkDegrees(p, nu2); err != nil {
		return 0, err
	}
	// By the inverse of the incomplete beta function (Abramowitz & Stegun 26.6.2) on
	// the side of the smaller variable, because 1-x would lose the digits of an x
	// close to 1; then a Newton step, because the inverse is good to 1e-10 only.
	a, b := nu1/2, nu2/2
	x := mathext.InvRegIncBeta(a, b, p)
	if x < 0.5 {
		x = betaStep(a, b, x, p)
		return x / (1 - x) * nu2 / nu1, nil
	}
	y := betaStep(b, a, mathext.InvRegIncBeta(b, a, 1-p), 1-p)
	return (1 - y) / y * nu2 / nu1, nil
}

// betaStep improves x, which solves I_x(a,b) = p nearly.
func betaStep(a, b, x, p float64) float64 {
	for range 2 {
		density := math.Exp((a-1)*math.Log(x) + (b-1)*math.Log1p(-x) - mathext.Lbeta(a, b))
		step := (mathext.RegIncBeta(a, b, x) - p) / density
		if !(math.Abs(step) < 0.1*x) {
			return x
		}
		x -= step
	}
	return x
}

func checkDegrees(p, nu float64) error {
	if err := checkLevel(p); err != nil {
		return err
	}
	if !(nu > 0) {
		return fmt.Errorf("degrees of freedom must be above 0, not %g", nu)
	}
	return nil
}
