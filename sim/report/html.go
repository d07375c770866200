package report

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"slices"
	"strings"

	"millrace/sim/futures"
)

//go:embed page.css
var pageCSS string

//go:embed page.html
var pageHTML string

//go:embed frame.html
var frameHTML string

var page = newPage("page", pageHTML)

// newPage is a page in the frame that all of them share: how it opens and closes, its
// verdict, its pictures and how to repeat it.
func newPage(name, text string) *template.Template {
	t := template.Must(template.New("frame").Funcs(template.FuncMap{"nb": unbreakable}).Parse(frameHTML))
	return template.Must(t.New(name).Parse(text))
}

// unbreakable keeps numbers and their units on one line.
func unbreakable(s string) string {
	words := unbroken(s)
	for i, w := range words {
		words[i] = strings.ReplaceAll(w, " ", "\u00a0")
	}
	return strings.Join(words, " ")
}

// view is what the page shows, in its order.
type view struct {
	Grid                        string // class of the grids of pictures
	Title, Setting, PlanningAid string
	CSS                         template.CSS
	Verdict                     []string
	Costs, Effects              board
	Spread                      figure
	Decides, Same, Warnings     []string
	Stores                      []storeRow
	Calm                        string
	LinesNote                   string
	Lines                       []figure
	LineWhats                   []string
	StateKey                    []keyItem
	States                      []figure
	StateTables                 []stateTable
	Assumed, LeftOut, Cautions  []string
	Command                     string
	Recipe                      []string
	Files                       []File
}

// board is a table of plans.
type board struct {
	Label   string
	Columns []string
	Rows    []tableRow
	Notes   []string
}

func (b *board) row(class, name, tag string, cells ...string) {
	r := tableRow{Class: class, Name: name, Tag: tag}
	for i, s := range cells {
		r.Cells = append(r.Cells, tableCell{b.Columns[i], s})
	}
	b.Rows = append(b.Rows, r)
}

type tableRow struct {
	Class, Name, Tag string
	Cells            []tableCell
}

type tableCell struct{ Label, Text string }

// HTML writes the report as one page that needs nothing else: no file, no
// network, no script. It is well-formed XML too.
func HTML(c *futures.Comparison, x Extra) ([]byte, error) {
	if c == nil {
		return nil, errors.New("report: no comparison to show")
	}
	if len(c.Plans) > 0 && (c.Best < 0 || c.Best >= len(c.Plans)) {
		return nil, fmt.Errorf("report: the best of %d plans is number %d", len(c.Plans), c.Best)
	}
	title := x.Title
	if title == "" {
		title = c.Scenario
	}
	if c.Works != "" {
		title = capital(c.Works) + ": " + title
	}
	v := view{Title: title, PlanningAid: planningAid, CSS: template.CSS(pageCSS), Assumed: assumed(c, x), LeftOut: sentences(x.LeftOut),
		Cautions: sentences(x.Cautions), Command: x.Command, Files: x.Files}
	y := x
	y.Command = "" // has a place of its own
	v.Recipe = sentences(recipe(c, y))
	v.Setting = timesOf(c)
	if len(c.Plans) == 0 {
		v.Verdict = []string{strings.TrimSpace(c.Verdict + " There is no plan to show.")}
	} else {
		m := moneyOf(c)
		v.Verdict = []string{verdict(c, m)}
		v.boards(c, m)
		v.Spread = spreadPicture(c, m)
		v.Decides, v.Same, v.Warnings = decides(c), same(c), warnings(c)
		v.Stores = levelRows(c, x)
		if _, calm := storesThatMatter(c); len(calm) > 0 {
			v.Calm = "Not drawn, for the upset hardly moves them under any plan: " + list(calm) + "."
		}
		v.Grid = "grid"
		if n := len(c.Plans); n == 2 || n == 4 {
			v.Grid = "grid two"
		}
		v.Lines = linePictures(c, m)
		v.LinesNote = "Cost of the upset by line, mean of all futures: the plan's account less that of the same future without the upset. All plans on one scale."
		for _, l := range c.Plans[0].CostOfUpset {
			if l.What != "" && l.Name != "total" {
				v.LineWhats = append(v.LineWhats, sentence(l.Name+": "+l.What))
			}
		}
		v.States, v.StateTables = statePictures(c)
		v.StateKey = stateKey()
	}
	var b bytes.Buffer
	if err := page.Execute(&b, &v); err != nil {
		return nil, fmt.Errorf("report: %w", err)
	}
	return b.Bytes(), nil
}

func sentences(in []string) []string {
	out := make([]string, 0, len(in))
	for _, s := range in {
		out = append(out, sentence(s))
	}
	return out
}

// boards fills the tables of plans.
func (v *view) boards(c *futures.Comparison, m money) {
	v.Costs = board{Label: "Cost of the upset by plan", Notes: []string{costNote(c)}, Columns: []string{
		"cost of the upset, " + m.unit(), "95 % interval of the mean", "8 of 10 futures lie in", "more than the best", "chance its mean is best", "futures won"}}
	v.Effects = board{Label: "What happens by plan", Columns: []string{
		"lost to dispatch, t", "heats returned", "strips cobbled", "bars rejected", "other pieces scrapped", "iron pooled, t", "order lines late", "back to normal, d"}}
	best := costOf(&c.Plans[c.Best]).mean
	for _, i := range ranked(c) {
		p := &c.Plans[i]
		k, e := costOf(p), effectsOf(p, &c.Twin, c.Futures)
		class, tag, behind, back := "", "", m.number(k.mean-best), amount(e.back)
		if i == c.Best {
			class, behind = "lead", none
			if len(c.Plans) > 1 {
				tag = "leads"
			}
			if c.Decided {
				tag = "best"
			}
		}
		if len(p.SameAs) > 0 {
			tag = strings.TrimPrefix(tag+", the same as "+list(p.SameAs), ", ")
		}
		if e.notBack > 0 {
			back += "*"
			v.Effects.Notes = append(v.Effects.Notes, fmt.Sprintf("* %s: not back to normal at the end of %s of %d; the mean is of the others.", p.Name, plural(e.notBack, "future", "futures"), c.Futures))
		}
		v.Costs.row(class, p.Name, tag, m.number(k.mean), m.span(k.low, k.high), m.span(k.p10, k.p90), behind, percent(p.ChanceMeanBest), percent(p.ShareWon))
		v.Effects.row(class, p.Name, "", amount(e.lost), amount(e.heats), amount(e.cobbled), amount(e.rejected), amount(e.scrapped), amount(e.iron), amount(e.late), back)
	}
	if len(c.Twin.Measures) > 0 {
		e := effectsOf(&c.Twin, &c.Twin, c.Futures)
		v.Effects.row("twin", withoutUpset, "", none, amount(e.heats), amount(e.cobbled), amount(e.rejected), amount(e.scrapped), amount(e.iron), amount(e.late), none)
	}
}

// keyItem is a state with a patch of its fill.
type keyItem struct {
	SVG  template.HTML
	Word string
}

// stateKey shows the fill of every state beside its word; the patterns of all
// pictures of states are defined in its first patch.
func stateKey() []keyItem {
	what := map[string]string{"running": "at its pace", "slowed": "below its pace", "starved": "nothing to work on", "blocked": "cannot give away",
		"down": "own fault", "changeover": "rolls, tundish", "maintenance": "planned", "off shift": "no crew"}
	const defs = `<defs>` +
		`<pattern id="slowed" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="p-slowed" width="6" height="6"/><line class="p-line" x1="0" y1="0" x2="0" y2="6"/></pattern>` +
		`<pattern id="starved" width="6" height="6" patternUnits="userSpaceOnUse"><rect class="p-starved" width="6" height="6"/><circle class="p-dot" cx="3" cy="3" r="0.9"/></pattern>` +
		`<pattern id="maintenance" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><rect class="p-maintenance" width="6" height="6"/><line class="p-line" x1="0" y1="0" x2="0" y2="6"/></pattern></defs>`
	var out []keyItem
	for _, s := range stateOrder {
		if !slices.Contains(futures.StateNames, s) {
			continue
		}
		p := newPicture(28, 14, "Fill of the state "+s, capital(s)+": "+what[s])
		if len(out) == 0 {
			p.b.WriteString(defs)
		}
		p.rect("seg "+stateClass(s), 1, 1, 26, 12)
		out = append(out, keyItem{p.done(), s + ": " + what[s]})
	}
	return out
}

// timesOf says what was played.
func timesOf(c *futures.Comparison) string {
	s := fmt.Sprintf("%s of %s from %s, the same luck for every plan.", plural(c.Futures, "future", "futures"), length(c.Length), begins(c.Start))
	if c.Extended > 0 {
		s += fmt.Sprintf(" %s ran on until the works was back to normal, the longest %s.", plural(c.Extended, "future", "futures"), length(c.Longest))
	}
	if c.Capped > 0 {
		s += fmt.Sprintf(" %s cut off before that.", plural(c.Capped, "future was", "futures were"))
	}
	return s
}
