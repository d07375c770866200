package cashflow

import (
	"fmt"
	"math/big"
	"sort"
	"strconv"
)

// polynomial has whole coefficients, the constant first, none of them zero at
// either end.
type polynomial []*big.Int

// exact reads each flow as the decimal number it prints as and multiplies all of
// them by what makes them whole. Flow k is the coefficient of x^k, x = 1/(1+r).
// The flows have at least one change of sign.
func exact(flows []float64) (polynomial, error) {
	rats := make([]*big.Rat, len(flows))
	den := big.NewInt(1)
	for k, c := range flows {
		r, ok := new(big.Rat).SetString(strconv.FormatFloat(c, 'g', -1, 64))
		if !ok {
			return nil, fmt.Errorf("flow %d: %w: %g", k, ErrNumber, c)
		}
		rats[k] = r
		g := new(big.Int).GCD(nil, nil, den, r.Denom())
		den.Mul(den, new(big.Int).Quo(r.Denom(), g))
	}
	p := make(polynomial, len(flows))
	for k, r := range rats {
		p[k] = new(big.Int).Mul(r.Num(), new(big.Int).Quo(den, r.Denom()))
	}
	for p[0].Sign() == 0 {
		p = p[1:]
	}
	for p[len(p)-1].Sign() == 0 {
		p = p[:len(p)-1]
	}
	return p.reduced(), nil
}

// rates gives r = 1/x - 1 of every positive root x, rising.
func (p polynomial) rates() []float64 {
	p = p.squareFree()
	var out []float64
	// x = 1 is the rate 0.
	if p.at(1, 0).Sign() == 0 {
		out = append(out, 0)
	}
	// x in (0,1) is r > 0.
	for _, x := range p.inUnit() {
		one := big.NewRat(1, 1)
		f, _ := one.Sub(one.Inv(x), big.NewRat(1, 1)).Float64()
		out = append(out, f)
	}
	// x > 1: y = 1/x = 1+r in (0,1) is a root of the reversed polynomial.
	reversed := make(polynomial, len(p))
	for k := range p {
		reversed[len(p)-1-k] = p[k]
	}
	for _, y := range reversed.inUnit() {
		f, _ := y.Sub(y, big.NewRat(1, 1)).Float64()
		if f > -1 {
			out = append(out, f)
		}
	}
	sort.Float64s(out)
	return out
}

// at is 2^(bits n) p(num/2^bits), n the degree: it has the sign of p there.
func (p polynomial) at(num int64, bits uint) *big.Int { return p.atBig(big.NewInt(num), bits) }

func (p polynomial) atBig(num *big.Int, bits uint) *big.Int {
	n := len(p) - 1
	v := new(big.Int).Set(p[n])
	t := new(big.Int)
	for k := n - 1; k >= 0; k-- {
		v.Mul(v, num)
		v.Add(v, t.Lsh(p[k], bits*uint(n-k)))
	}
	return v
}

// precision is the number of bits to which a root between 0 and 1 is refined, at
// least; a small root is refined to 64 bits of its own.
const precision = 100

// cell is the open interval (num, num+1)/2^bits of x, seen through q: q(t) is a
// positive multiple of p at the share t of the interval.
type cell struct {
	q    polynomial
	num  *big.Int
	bits uint
}

// inUnit gives every root strictly between 0 and 1 of a polynomial without
// multiple roots, to about 2^-precision.
func (p polynomial) inUnit() []*big.Rat {
	var roots []*big.Rat
	work := []cell{{q: p, num: big.NewInt(0)}}
	for len(work) > 0 {
		c := work[len(work)-1]
		work = work[:len(work)-1]
		switch c.q.variations() {
		case 0:
		case 1:
			roots = append(roots, p.refine(c))
		default:
			// q(t/2), then q((1+t)/2)
			n := uint(len(c.q) - 1)
			left := make(polynomial, len(c.q))
			for k := range c.q {
				left[k] = new(big.Int).Lsh(c.q[k], n-uint(k))
			}
			right := left.shifted()
			num := new(big.Int).Lsh(c.num, 1)
			mid := new(big.Int).Add(num, big.NewInt(1))
			if right[0].Sign() == 0 { // the middle itself
				roots = append(roots, new(big.Rat).SetFrac(mid, new(big.Int).Lsh(big.NewInt(1), c.bits+1)))
				right = right[1:]
			}
			work = append(work, cell{right.reduced(), mid, c.bits + 1}, cell{left.reduced(), num, c.bits + 1})
		}
	}
	return roots
}

// refine halves the cell of a single root.
func (p polynomial) refine(c cell) *big.Rat {
	num, bits := new(big.Int).Set(c.num), c.bits
	// The sign just inside the left end; the end itself may be another root.
	low := 0
	for _, a := range c.q {
		if low = a.Sign(); low != 0 {
			break
		}
	}
	for bits < precision+c.bits || num.BitLen() < 64 {
		num.Lsh(num, 1)
		bits++
		mid := new(big.Int).Add(num, big.NewInt(1))
		s := p.atBig(mid, bits).Sign()
		if s == 0 {
			return new(big.Rat).SetFrac(mid, new(big.Int).Lsh(big.NewInt(1), bits))
		}
		if s == low {
			num = mid
		}
	}
	num.Lsh(num, 1) // the middle of what is left
	num.Add(num, big.NewInt(1))
	return new(big.Rat).SetFrac(num, new(big.Int).Lsh(big.NewInt(1), bits+1))
}

// variations counts the changes of sign of (1+t)^n q(1/(1+t)): 0 says that q has
// no root in (0,1), 1 that it has exactly one.
func (p polynomial) variations() int {
	r := make(polynomial, len(p))
	for k := range p {
		r[len(p)-1-k] = p[k]
	}
	n, last := 0, 0
	for _, a := range r.shifted() {
		if s := a.Sign(); s != 0 {
			if last != 0 && s != last {
				n++
			}
			last = s
		}
	}
	return n
}

// shifted is p(t+1).
func (p polynomial) shifted() polynomial {
	r := make(polynomial, len(p))
	for k := range p {
		r[k] = new(big.Int).Set(p[k])
	}
	for i := range r {
		for k := len(r) - 2; k >= i; k-- {
			r[k].Add(r[k], r[k+1])
		}
	}
	return r
}

// reduced divides by the greatest power of two and, while small, by the greatest
// common divisor of the coefficients.
func (p polynomial) reduced() polynomial {
	g := new(big.Int)
	for _, a := range p {
		if a.Sign() != 0 {
			g.GCD(nil, nil, g, new(big.Int).Abs(a))
			if g.IsInt64() && g.Int64() == 1 {
				return p
			}
		}
	}
	if g.Sign() == 0 {
		return p
	}
	r := make(polynomial, len(p))
	for k := range p {
		r[k] = new(big.Int).Quo(p[k], g)
	}
	return r
}

// squareFree is p with every root once: p over its common divisor with its
// derivative. A check modulo a prime shows nearly always that there is nothing
// to divide by.
func (p polynomial) squareFree() polynomial {
	if len(p) < 3 || p.coprimeModulo() {
		return p
	}
	g := p.commonDivisor(p.derivative())
	if len(g) < 2 {
		return p
	}
	return p.over(g).reduced()
}

func (p polynomial) derivative() polynomial {
	d := make(polynomial, len(p)-1)
	for k := range d {
		d[k] = new(big.Int).Mul(p[k+1], big.NewInt(int64(k+1)))
	}
	return d
}

// commonDivisor is Euclid's algorithm on primitive remainders.
func (p polynomial) commonDivisor(q polynomial) polynomial {
	a, b := p, q.trimmed().reduced()
	for len(b) > 1 {
		r := a.remainder(b)
		if len(r) == 0 {
			return b
		}
		a, b = b, r.reduced()
	}
	return b
}

// remainder is that of a multiple of p over q, shorter than q; empty for zero.
func (p polynomial) remainder(q polynomial) polynomial {
	r := make(polynomial, len(p))
	for k := range p {
		r[k] = new(big.Int).Set(p[k])
	}
	lead := q[len(q)-1]
	for len(r) >= len(q) {
		top := r[len(r)-1]
		shift := len(r) - len(q)
		for k := range r[:len(r)-1] {
			r[k].Mul(r[k], lead)
			if k >= shift {
				r[k].Sub(r[k], new(big.Int).Mul(top, q[k-shift]))
			}
		}
		r = r[:len(r)-1].trimmed()
	}
	return r
}

func (p polynomial) trimmed() polynomial {
	for len(p) > 0 && p[len(p)-1].Sign() == 0 {
		p = p[:len(p)-1]
	}
	return p
}

// over is a multiple of p/q, which is known to come out even.
func (p polynomial) over(q polynomial) polynomial {
	r := make(polynomial, len(p))
	for k := range p {
		r[k] = new(big.Int).Set(p[k])
	}
	lead := q[len(q)-1]
	quotient := make(polynomial, len(p)-len(q)+1)
	for s := len(quotient) - 1; s >= 0; s-- {
		top := new(big.Int).Set(r[s+len(q)-1])
		for k := range r {
			r[k].Mul(r[k], lead)
		}
		for k := s + 1; k < len(quotient); k++ {
			quotient[k].Mul(quotient[k], lead)
		}
		quotient[s] = top
		for k := range q {
			r[s+k].Sub(r[s+k], new(big.Int).Mul(top, q[k]))
		}
	}
	return quotient
}

// prime is the largest below 2^31: products fit in 64 bits.
const prime = 2147483647

// coprimeModulo reports that p and its derivative have no common divisor modulo
// the prime, which proves it; false proves nothing.
func (p polynomial) coprimeModulo() bool {
	m := big.NewInt(prime)
	a := make([]uint64, len(p))
	for k := range p {
		a[k] = new(big.Int).Mod(p[k], m).Uint64()
	}
	if a[len(a)-1] == 0 {
		return false
	}
	b := make([]uint64, len(a)-1)
	for k := range b {
		b[k] = a[k+1] * uint64(k+1) % prime
	}
	for len(b) > 0 && b[len(b)-1] == 0 {
		b = b[:len(b)-1]
	}
	for len(b) > 1 {
		inverse := power(b[len(b)-1], prime-2)
		for len(a) >= len(b) {
			f := a[len(a)-1] * inverse % prime
			shift := len(a) - len(b)
			for k := range b {
				a[shift+k] = (a[shift+k] + prime - f*b[k]%prime) % prime
			}
			for len(a) > 0 && a[len(a)-1] == 0 {
				a = a[:len(a)-1]
			}
		}
		a, b = b, a
	}
	return len(b) == 1
}

func power(x, n uint64) uint64 {
	r := uint64(1)
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			r = r * x % prime
		}
		x = x * x % prime
	}
	return r
}
