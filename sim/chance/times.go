package chance

// Times is the law of f times the number: every quantile is f times as large. f must
// be above zero; a law that would leave the range of its family stays as it is.
func (l Law) Times(f float64) Law {
	if !finite(f) || f <= 0 {
		return l
	}
	s := l
	switch l.kind {
	case KindTriangular, KindPert:
		s.a, s.b, s.c = l.a*f, l.b*f, l.c*f
	case KindUniform:
		s.a, s.b = l.a*f, l.b*f
	default:
		s.a = l.a * f
	}
	s.cut = l.cut * f
	if !finite(s.a, s.b, s.c, s.cut) {
		return l
	}
	return s
}
