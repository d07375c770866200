package viewer

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// luminance is the relative luminance of a colour, WCAG 2.2, definition "relative
// luminance" (W3C Recommendation 2023).
func luminance(c [3]float64) float64 {
	var l [3]float64
	for i, v := range c {
		if v <= 0.04045 {
			l[i] = v / 12.92
		} else {
			l[i] = math.Pow((v+0.055)/1.055, 2.4)
		}
	}
	return 0.2126*l[0] + 0.7152*l[1] + 0.0722*l[2]
}

// ratio is the contrast ratio, WCAG 2.2, definition "contrast ratio".
func ratio(a, b [3]float64) float64 {
	x, y := luminance(a), luminance(b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

func colour(t *testing.T, hex string) (c [3]float64) {
	t.Helper()
	for i := range c {
		v, err := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		c[i] = float64(v) / 255
	}
	return c
}

// grey is what body.stale does to a colour: the filters grayscale(1) and
// contrast(.95), Filter Effects Module Level 1, section 8 (from memory).
func grey(c [3]float64) [3]float64 {
	g := 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2]
	g = (g-0.5)*0.95 + 0.5
	return [3]float64{g, g, g}
}

// TestRatio checks the formula against the ends of its range and the grey #767676,
// known as the lightest that reaches 4.5 on white.
func TestRatio(t *testing.T) {
	black, white := colour(t, "#000000"), colour(t, "#ffffff")
	if r := ratio(black, white); math.Abs(r-21) > 1e-9 {
		t.Errorf("black on white %g, want 21", r)
	}
	if a, b := ratio(colour(t, "#767676"), white), ratio(colour(t, "#777777"), white); a < 4.5 || b >= 4.5 {
		t.Errorf("#767676 %g and #777777 %g on white lie on either side of 4.5", a, b)
	}
}

// TestContrast holds the page's colours against WCAG 2.2 AA: 4.5 for text (1.4.3),
// 3 for marks that are needed to understand (1.4.11), also when news are old.
func TestContrast(t *testing.T) {
	css, err := embedded.ReadFile("page/style.css")
	if err != nil {
		t.Fatal(err)
	}
	blocks := regexp.MustCompile(`(?s)(:root[^{]*)\{(.*?)\}`).FindAllStringSubmatch(string(css), -1)
	if len(blocks) != 3 {
		t.Fatalf("%d blocks of colours, want light, dark by the system, dark by choice", len(blocks))
	}
	var themes []map[string]string
	for _, b := range blocks {
		m := map[string]string{}
		for _, v := range regexp.MustCompile(`--([a-z0-9-]+): (#[0-9a-f]{6})`).FindAllStringSubmatch(b[2], -1) {
			m[v[1]] = v[2]
		}
		themes = append(themes, m)
	}
	for k, v := range themes[1] {
		if themes[2][k] != v {
			t.Errorf("%s differs between the two dark themes", k)
		}
	}
	for _, p := range strings.Split(`ink sheet 4.5|ink ground 4.5|ink well 4.5|ink2 sheet 4.5|ink2 ground 4.5|ink2 well 4.5|back sheet 4.5|dry sheet 4.5|back well 4.5|dry well 4.5|`+
		`ink back-wash 4.5|ink dry-wash 4.5|sheet ink 4.5|back back-wash 3|dry dry-wash 3|rule sheet 3|rule ground 3|river sheet 3|ahead sheet 3|ink2 stock 3|focus sheet 3|focus ground 3`, "|") {
		f := strings.Fields(p)
		need, err := strconv.ParseFloat(f[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		for i, m := range themes[:2] {
			a, b := colour(t, m[f[0]]), colour(t, m[f[1]])
			name := f[0] + " on " + f[1] + " in " + []string{"light", "dark"}[i]
			if r := ratio(a, b); r < need {
				t.Errorf("%s: %.2f, want %g", name, r, need)
			}
			if f[1] == "sheet" || f[1] == "well" {
				if r := ratio(grey(a), grey(b)); r < need {
					t.Errorf("%s, old news: %.2f, want %g", name, r, need)
				}
			}
		}
	}
}
