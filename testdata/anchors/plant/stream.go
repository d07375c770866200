package main

import (
	"math"
	"math/bits"

	"millrace/sim/chance"
)

// stream is xoshiro256++ (Blackman and Vigna) with the exponential ziggurat of
// 256 layers (Marsaglia and Tsang): bit for bit the draws of c/rng.h.
type stream struct{ a, b, c, d uint64 }

func splitmix(s *uint64) uint64 {
	*s += 0x9e3779b97f4a7c15
	z := *s
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

func newStream(seed uint64) *stream {
	return &stream{splitmix(&seed), splitmix(&seed), splitmix(&seed), splitmix(&seed)}
}

func (x *stream) next() uint64 {
	r := bits.RotateLeft64(x.a+x.d, 23) + x.a
	t := x.b << 17
	x.c ^= x.a
	x.d ^= x.b
	x.b ^= x.c
	x.a ^= x.d
	x.c ^= t
	x.d = bits.RotateLeft64(x.d, 45)
	return r
}

func (x *stream) uniform() float64 { return float64(x.next()>>11) * 0x1p-53 }

const (
	zigR = 7.69711747013104972
	zigV = 0.0039496598225815571993
)

var zigX, zigF [257]float64

func init() {
	zigX[0] = zigV * math.Exp(zigR)
	zigX[1] = zigR
	for i := 2; i < 256; i++ {
		zigX[i] = -math.Log(math.Exp(-zigX[i-1]) + zigV/zigX[i-1])
	}
	for i := range zigF {
		zigF[i] = math.Exp(-zigX[i])
	}
}

// exp is exponential with mean 1.
func (x *stream) exp() float64 {
	for {
		u := x.next()
		i := u & 255
		v := float64(u>>11) * 0x1p-53 * zigX[i]
		if v < zigX[i+1] {
			return v
		}
		if i == 0 {
			return zigR - math.Log(1-x.uniform())
		}
		if zigF[i]+x.uniform()*(zigF[i+1]-zigF[i]) < math.Exp(-v) {
			return v
		}
	}
}

// lognormal has mean 1 and sigma 0.4.
var lognormal = func() chance.Law {
	median := math.Exp(-0.08)
	l, err := chance.Lognormal(median, median*math.Exp(0.4*1.2815515655446004))
	if err != nil {
		panic(err)
	}
	return l
}()

// lognormal draws by the project's own quantile.
func (x *stream) lognormal() float64 {
	return lognormal.Quantile((float64(x.next()>>12) + 0.5) * 0x1p-52)
}
