package svg

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// seeds are drawings to start from: the samples as several programs saved
// them, the W3C's path examples as pieces, and one of every word and feature.
func seeds(f *testing.F) {
	for _, glob := range []string{"../samples/*.svg", "../samples/roundtrip/*.svg"} {
		files, _ := filepath.Glob(glob)
		for _, name := range files {
			if data, err := os.ReadFile(name); err == nil {
				f.Add(data)
			}
		}
	}
	for _, d := range append([]string{
		"M 100 100 L 300 100 L 200 300 z", "M100,200 C100,100 250,100 250,200 S400,300 400,200z",
		"M200,300 Q400,50 600,300 T1000,300Z", "M1.5.5-3e1 1 0-9z", "M120,120 h25 a25,25 0 1025,25z", "M1e308 0L-1e308 1z",
	}, w3cArcs...) {
		f.Add([]byte(sheet(`<g id="f"><path class="seam outline" d="` + d + `"/>` + grain + `</g>`)))
		f.Add([]byte(sheet(`<path id="f" d="` + d + `"/>`)))
	}
	for _, body := range []string{
		g(`id="front" data-cut="2" data-mirrored="yes"`, `<desc>fabric: navy or cream
allowance: 5/8in</desc><path class="notch" d="M-3 60H3"/><path class="dart" d="M40 200L50 120L60 200"/><polygon class="dart" points="70,40 75,90 70,150 65,90"/><path class="fold" d="M0 0V200"/><path class="edge hem" data-joins="front/hem" data-allowance="20mm" d="M0 200H100"/><path class="level" d="M0 90H100"/><rect class="keep" x="20" y="20" width="20" height="20" rx="3"/>`),
		`<g id="s" data-fabric="navy" data-kind="knit" data-nap="yes" data-face="both" data-count="2"><rect class="outline" width="90" height="80"/><circle class="hole" cx="50" cy="50" r="10"/><path class="flaw" d="M80 10H110V20H80Z"/><path class="grain" d="M10 70V10"/></g>`,
		`<style>.a{display:none} #b{transform:rotate(5deg)}</style><defs><symbol id="y" viewBox="0 0 9 9"><rect width="9" height="9"/></symbol></defs><use id="b" href="#y" x="5" width="50" height="20"/><svg x="1cm" width="50%" height="9" viewBox="0 0 9 9" preserveAspectRatio="xMinYMax slice"><ellipse rx="4" ry="2" transform="skewX(10) translate(3,4)"/></svg>`,
		`<polygon points="0,0 90,0 90,90"/><polyline points="0 0 9-9.5.5 0 0"/><line x2="9"/>`,
	} {
		f.Add([]byte(sheet(body)))
	}
	f.Add([]byte(`<!DOCTYPE svg [<!ENTITY a "b">]><svg width="9in" height="9in"><g id="&a;">` + square + grain + `</g></svg>`))
	f.Add([]byte("\xff\xfe<\x00s\x00v\x00g\x00/\x00>\x00"))
}

// refusal checks an error: one line, known, with the file's name.
func refusal(t *testing.T, err error) {
	t.Helper()
	s := err.Error()
	if _, ok := err.(*piece.Error); !ok {
		t.Errorf("%T: %s", err, s)
	}
	if !strings.HasPrefix(s, "f.svg: ") || strings.ContainsAny(s, "\n\r\x1b") || len(s) > 3000 {
		t.Errorf("the message %q", s)
	}
}

func plainName(t *testing.T, s string) {
	t.Helper()
	if s == "" || strings.ContainsFunc(s, func(c rune) bool { return c < ' ' || c == 0x7f }) {
		t.Errorf("the name %q", s)
	}
}

func soundRing(t *testing.T, name string, r orb.Ring) {
	t.Helper()
	if len(r) < 3 || !(plane.SignedArea(r) > 0) {
		t.Errorf("%q: %d points, %g mm²", name, len(r), plane.SignedArea(r))
	}
	for _, q := range r {
		if !(math.Abs(q[0]) < 1e5 && math.Abs(q[1]) < 1e5) {
			t.Errorf("%q: the point %v", name, q)
		}
	}
}

func FuzzPattern(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		pieces, err := Pattern(bytes.NewReader(data), "f.svg")
		if err != nil {
			refusal(t, err)
			return
		}
		if len(pieces) == 0 {
			t.Error("no piece and no error")
		}
		for _, p := range pieces {
			plainName(t, p.Name)
			soundRing(t, p.Name, p.Outline.Ring())
			if math.IsNaN(p.GrainDeg) || p.Count < 1 || p.Count > maxCount {
				t.Errorf("%q: grain %g, count %d", p.Name, p.GrainDeg, p.Count)
			}
			for _, d := range p.FishEyes {
				if !d.Inside(p.Outline.Path()) {
					t.Errorf("%q: the dart %v is not within the outline", p.Name, d)
				}
			}
			for i, e := range p.Outline {
				next := p.Outline[(i+1)%len(p.Outline)]
				if len(e.Line) == 0 || e.Line.End() != next.Line.Start() {
					t.Fatalf("%q: edge %d does not meet the next", p.Name, i)
				}
				length := e.Line.Length()
				for _, n := range e.Notches {
					if !(n.AtMM >= 0 && n.AtMM <= length+1e-6) || n.Count < 1 || n.Count > 3 {
						t.Errorf("%q: notch %+v on an edge of %g mm", p.Name, n, length)
					}
				}
				if !(e.AllowanceMM >= 0 && e.AllowanceMM <= maxAllowanceMM) {
					t.Errorf("%q: allowance %g mm", p.Name, e.AllowanceMM)
				}
			}
		}
	})
}

func FuzzScraps(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		pile, err := ReadScraps(bytes.NewReader(data), "f.svg")
		if err != nil {
			refusal(t, err)
			return
		}
		if len(pile) == 0 {
			t.Error("no scrap and no error")
		}
		for _, s := range pile {
			plainName(t, s.Name)
			soundRing(t, s.Name, s.Outline)
			for _, h := range s.Holes {
				soundRing(t, s.Name, h)
			}
			if a := s.AreaMM2(); !(a > 0) {
				t.Errorf("%q: %g mm² of cloth", s.Name, a)
			}
			if math.IsNaN(s.GrainDeg) || s.Count < 1 || s.Count > maxCount {
				t.Errorf("%q: grain %g, count %d", s.Name, s.GrainDeg, s.Count)
			}
		}
	})
}
