package table

import (
	"crypto/subtle"
	"fmt"
	"net/http"
	"slices"
	"strings"
)

// guard lets nobody in but the page that the maker opened: requests come to this
// machine by its own name, know the token, and where they change something come
// from the page itself.
type guard struct {
	port  int
	token string
}

func newGuard(port int, token string) *guard { return &guard{port, token} }

func (g *guard) url() string { return fmt.Sprintf("http://127.0.0.1:%d/?token=%s", g.port, g.token) }

// cookie is named for the port: cookies are shared by all ports of a host.
func (g *guard) cookie() string { return fmt.Sprintf("eke-table-%d", g.port) }

func (g *guard) knows(token string) bool {
	return subtle.ConstantTimeCompare([]byte(token), []byte(g.token)) == 1
}

// mostBytes is how large a request may be. Photographs are the largest of them.
const mostBytes = 64 << 20

// policy lets a page load from this server alone, and run no script but its files.
// Pictures come with widths as style attributes.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; style-src-attr 'unsafe-inline'; img-src 'self' blob:; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// inert is for files that are shown and do nothing: reports and drawings, with their style in them.
const inert = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox allow-popups"

func (g *guard) around(inside http.Handler) http.Handler {
	hosts := []string{fmt.Sprintf("127.0.0.1:%d", g.port), fmt.Sprintf("localhost:%d", g.port)}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		if !slices.Contains(hosts, strings.ToLower(r.Host)) {
			refuse(w, http.StatusForbidden, "this is no name of the cutting table; open the address that eke table printed")
			return
		}
		if r.ContentLength > mostBytes {
			h.Set("Connection", "close")
			refuse(w, http.StatusRequestEntityTooLarge, fmt.Sprintf("that is more than %d MB; bring a smaller file", mostBytes>>20))
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, mostBytes)
		if t := r.URL.Query().Get("token"); r.Method == http.MethodGet && r.URL.Path == "/" && g.knows(t) {
			http.SetCookie(w, &http.Cookie{Name: g.cookie(), Value: g.token, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
			http.Redirect(w, r, "/", http.StatusSeeOther)
			return
		}
		if c, err := r.Cookie(g.cookie()); err != nil || !g.knows(c.Value) {
			refuse(w, http.StatusForbidden, "the cutting table is only for the page that eke table opened; open the whole address that it printed")
			return
		}
		switch r.Method {
		case http.MethodGet, http.MethodHead:
		default:
			if r.Header.Get("Origin") != "http://"+r.Host {
				refuse(w, http.StatusForbidden, "another page asked for this, and the cutting table does it for its own page only")
				return
			}
		}
		inside.ServeHTTP(w, r)
	})
}

// refuse says in one line of plain text why something is not done.
func refuse(w http.ResponseWriter, code int, why string) {
	http.Error(w, why, code)
}
