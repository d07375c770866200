package chance

// Luck is one draw of luck for a whole run. The zero value is a valid Luck.
type Luck struct{ Seed, Future uint64 }

// Purpose says what a draw decides: the life of a unit, the length of a repair,
// whether a bar cobbles. Each kind of decision has its own code, so that adding
// one disturbs no other. The codes belong to the packages that draw.
type Purpose uint32

// The last word of the counter keeps the kinds of use apart.
const (
	useDraw   = 0
	useBranch = 1
)

// Bits gives the 64 random bits of a key.
func (l Luck) Bits(p Purpose, entity, index uint64) uint64 {
	w, _, _, _ := philox(uint64(p), entity, index, useDraw, l.Seed, l.Future)
	return w
}

// Uniform gives the number of a key between 0 and 1, neither of them included.
// It is (k+1/2)/2^52 with k the upper 52 bits: each such number is exact in
// double precision, and so is one minus it. (With 53 bits k+1/2 is rounded, and
// the largest k would give 1 itself.) The smallest value is 2^-53.
func (l Luck) Uniform(p Purpose, entity, index uint64) float64 {
	return unit(l.Bits(p, entity, index))
}

// Uniforms gives four independent numbers of one key for the price of one, for
// things that need several at once. The first is Uniform of the same key.
func (l Luck) Uniforms(p Purpose, entity, index uint64) [4]float64 {
	a, b, c, d := philox(uint64(p), entity, index, useDraw, l.Seed, l.Future)
	return [4]float64{unit(a), unit(b), unit(c), unit(d)}
}

func unit(w uint64) float64 { return (float64(w>>12) + 0.5) * 0x1p-52 }

// Draw gives the value of a law for a key.
func (l Luck) Draw(law Law, p Purpose, entity, index uint64) float64 {
	return law.Quantile(l.Uniform(p, entity, index))
}

// Happens decides yes or no with the given probability. What happens at one
// probability also happens at any larger one.
func (l Luck) Happens(probability float64, p Purpose, entity, index uint64) bool {
	return l.Uniform(p, entity, index) < probability
}

// Pick chooses one of n, evenly; 0 for n below 2.
func (l Luck) Pick(n int, p Purpose, entity, index uint64) int {
	if n < 2 {
		return 0
	}
	return min(int(l.Uniform(p, entity, index)*float64(n)), n-1)
}

// Branch gives new luck that depends on nothing but l and two numbers, for a
// look-ahead (say its count and its future). It shares no draw with l nor with
// any other branch.
func (l Luck) Branch(a, b uint64) Luck {
	s, f, _, _ := philox(a, b, 0, useBranch, l.Seed, l.Future)
	return Luck{Seed: s, Future: f}
}
