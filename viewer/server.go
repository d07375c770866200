package viewer

import (
	"net"
	"net/http"
	"net/url"
	"slices"
	"strings"
)

// server is the HTTP side.
type server struct {
	hub   *hub
	seats map[string]Seat
	hosts []string
	index []byte
	files http.Handler
}

// Close ends the pages' lines and the subscriptions to the bus.
func (s *server) Close() error {
	s.hub.close()
	return nil
}

// policy allows what the page itself brings and nothing else.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types 'none'"

// ServeHTTP serves page, files and websocket.
func (s *server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	head := w.Header()
	head.Set("Content-Security-Policy", policy)
	head.Set("X-Content-Type-Options", "nosniff")
	head.Set("Referrer-Policy", "no-referrer") // the address is the key
	head.Set("Cross-Origin-Opener-Policy", "same-origin")
	head.Set("Cross-Origin-Resource-Policy", "same-origin")
	head.Set("Cache-Control", "no-store")
	if !s.hostAllowed(r.Host) {
		http.Error(w, "this page is not served under that name", http.StatusMisdirectedRequest)
		return
	}
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		head.Set("Allow", "GET, HEAD")
		http.Error(w, "only to be read", http.StatusMethodNotAllowed)
		return
	}
	if strings.HasPrefix(r.URL.Path, "/page/") {
		if strings.HasSuffix(r.URL.Path, "/") || strings.HasSuffix(r.URL.Path, "/index.html") {
			http.NotFound(w, r)
			return
		}
		s.files.ServeHTTP(w, r)
		return
	}
	seat, rest, ok := s.seat(r.URL.Path)
	switch {
	case !ok:
		http.NotFound(w, r)
	case rest == "":
		head.Set("Content-Type", "text/html; charset=utf-8")
		w.Write(s.index)
	case rest == "line":
		if !sameOrigin(r) {
			http.Error(w, "asked from another page", http.StatusForbidden)
			return
		}
		s.hub.serve(w, r, seat)
	default:
		http.NotFound(w, r)
	}
}

// seat finds the seat of a path and what is behind it.
func (s *server) seat(path string) (seat Seat, rest string, ok bool) {
	if after, keyed := strings.CutPrefix(path, "/at/"); keyed {
		key, rest, slash := strings.Cut(after, "/")
		seat, ok = s.seats[key]
		return seat, rest, ok && slash && key != ""
	}
	seat, ok = s.seats[""]
	return seat, strings.TrimPrefix(path, "/"), ok
}

func (s *server) hostAllowed(host string) bool {
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	}
	return slices.Contains(s.hosts, strings.ToLower(strings.Trim(name, "[]")))
}

// sameOrigin lets through what is no browser (no Origin) and pages of this server.
func sameOrigin(r *http.Request) bool {
	origin := r.Header.Get("Origin")
	if origin == "" {
		return true
	}
	u, err := url.Parse(origin)
	return err == nil && u.Host != "" && strings.EqualFold(u.Host, r.Host)
}
