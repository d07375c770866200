package viewer

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// findBrowser returns a Chromium; without one the test is skipped, on the build
// machine it fails.
func findBrowser(t *testing.T) string {
	t.Helper()
	if p := os.Getenv("BROWSER_BIN"); p != "" {
		return p
	}
	for _, n := range []string{"chromium", "chromium-browser", "google-chrome", "headless_shell"} {
		if p, err := exec.LookPath(n); err == nil {
			return p
		}
	}
	if os.Getenv("CI") != "" || os.Getenv("REQUIRE_BROWSER") != "" {
		t.Fatal("no Chromium found; set BROWSER_BIN")
	}
	t.Skip("no Chromium found; set BROWSER_BIN to test the page in a browser")
	return ""
}

// browser is one running Chromium; tabs share it.
type browser struct{ ctx context.Context }

func newBrowser(t *testing.T) *browser {
	t.Helper()
	if testing.Short() {
		t.Skip("needs a browser and seconds; run without -short")
	}
	flags := []chromedp.ExecAllocatorOption{chromedp.ExecPath(findBrowser(t)), chromedp.Headless, chromedp.NoSandbox, chromedp.NoFirstRun, chromedp.UserDataDir(t.TempDir())}
	for _, f := range []string{"disable-gpu", "disable-quic", "disable-background-networking", "disable-component-update", "disable-sync"} {
		flags = append(flags, chromedp.Flag(f, true))
	}
	ctx, stop := chromedp.NewExecAllocator(context.Background(), flags...)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewContext(ctx)
	t.Cleanup(stop)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("the browser does not start: %v", err)
	}
	return &browser{ctx}
}

// tab is one page under test. What it writes to its console is an error.
type tab struct {
	t   *testing.T
	ctx context.Context

	mu    sync.Mutex
	wrote []string
}

type look struct {
	w, h   int64
	dark   bool
	calm   bool
	forced bool // the system's own colours
	mobile bool
}

var desk, phone = look{w: 1440, h: 900}, look{w: 390, h: 844, mobile: true}

func (b *browser) open(t *testing.T, url string, l look) *tab {
	t.Helper()
	ctx, stop := chromedp.NewContext(b.ctx)
	t.Cleanup(stop)
	p := &tab{t: t, ctx: ctx}
	console := chromedp.Console(ctx)
	go func() {
		for m, err := range console {
			if err != nil {
				return
			}
			p.mu.Lock()
			p.wrote = append(p.wrote, fmt.Sprint(m))
			p.mu.Unlock()
		}
	}()
	scheme, motion, forced := "light", "no-preference", "none"
	if l.forced {
		forced = "active"
	}
	if l.dark {
		scheme = "dark"
	}
	if l.calm {
		motion = "reduce"
	}
	media := func() error {
		_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: motion}, {Name: "forced-colors", Value: forced}}})
		return err
	}
	view := chromedp.EmulateViewport(l.w, l.h)
	if l.mobile {
		view = chromedp.EmulateViewport(l.w, l.h, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulatePortrait)
	}
	if err := chromedp.Do(ctx, view); err != nil {
		t.Fatal(err)
	}
	if err := media(); err != nil {
		t.Fatal(err)
	}
	if err := chromedp.Do(ctx, chromedp.Navigate(url)); err != nil {
		t.Fatal(err)
	}
	p.wait("the picture of the works", `!!document.querySelector('#works tbody tr') && document.querySelector('#glance .big') != null`)
	return p
}

// js evaluates an expression.
func js[T any](p *tab, expression string) T {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, 20*time.Second)
	defer stop()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		p.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// wait waits until the expression is true.
func (p *tab) wait(what, expression string) {
	p.t.Helper()
	for end := time.Now().Add(25 * time.Second); time.Now().Before(end); time.Sleep(40 * time.Millisecond) {
		if js[bool](p, "!!("+expression+")") {
			return
		}
	}
	p.shot("failed")
	p.mu.Lock()
	defer p.mu.Unlock()
	p.t.Fatalf("waited in vain for %s\nconsole: %v", what, p.wrote)
}

func (p *tab) text(selector string) string {
	p.t.Helper()
	return js[string](p, fmt.Sprintf("(document.querySelector(%q)||{}).textContent||''", selector))
}

func (p *tab) has(selector string) bool {
	p.t.Helper()
	return js[bool](p, fmt.Sprintf("!!document.querySelector(%q)", selector))
}

func (p *tab) click(selector string) {
	p.t.Helper()
	js[bool](p, fmt.Sprintf("(document.querySelector(%q).click(), true)", selector))
}

func (p *tab) keys(s string) {
	p.t.Helper()
	if err := chromedp.Do(p.ctx, chromedp.KeyEvent(s)); err != nil {
		p.t.Fatal(err)
	}
}

// quiet fails where the page wrote anything to its console.
func (p *tab) quiet() {
	p.t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.wrote) > 0 {
		p.t.Errorf("the page wrote: %s", strings.Join(p.wrote, "\n"))
	}
}

// shot keeps a picture where MILLRACE_SHOTS says, if it says so.
func (p *tab) shot(name string) {
	p.t.Helper()
	dir := os.Getenv("MILLRACE_SHOTS")
	if dir == "" {
		return
	}
	b, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		p.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), b, 0o600); err != nil {
		p.t.Fatal(err)
	}
}
