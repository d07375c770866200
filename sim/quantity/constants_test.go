package quantity

import "math"

var inf, nan = math.Inf(1), math.NaN()
