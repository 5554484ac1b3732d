package svg

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"eke/piece/race"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestNotSVG(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"empty", "", "f.svg: it is not an SVG drawing; export the pattern from the drawing program as SVG"},
		{"text", "front 42 x 60", "f.svg: it is not an SVG drawing"},
		{"a portable document", "%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj <</Type /Catalog>>", "f.svg: it is not an SVG drawing"},
		{"a picture", "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "f.svg: it is not an SVG drawing"},
		{"a page", "<!DOCTYPE html><html><body><svg/></body></html>", "f.svg: it is not an SVG drawing: its first element is <html>"},
		{"another language's svg", `<svg xmlns="http://example.com/svg"/>`, "it is not an SVG drawing"},
		{"broken XML", sheet("<g>\n<path</g>"), "f.svg: its XML is broken on line 2 ("},
		{"cut off", `<svg width="5" height="5"><g>`, "its XML is broken on line 1 (unexpected EOF); save it again"},
		{"an unknown entity", sheet("<title>&nbsp;</title>"), "its XML is broken on line 1 (invalid character entity &nbsp;)"},
		{"an unknown encoding", `<?xml version="1.0" encoding="shift_jis"?><svg width="5" height="5"/>`, `it is not an SVG drawing`},
		{"bad UTF-8", sheet("<title>\xff\xfe</title>"), "invalid UTF-8"},
		{"a name of odd bytes without end", sheet("<g m" + strings.Repeat("\x90", 5000) + "=''/>"), "its XML is broken on line 1 (invalid XML name: m)"},
		{"two drawings", sheet("") + sheet(""), "a second drawing follows the first"},
		{"gzip of nothing", "\x1f\x8b", "the file cannot be read"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, read := range []func(io.Reader, string) error{
				func(r io.Reader, f string) error { _, err := Pattern(r, f); return err },
				func(r io.Reader, f string) error { _, err := ReadScraps(r, f); return err },
			} {
				err := read(strings.NewReader(tt.text), "f.svg")
				assert.ErrorContains(t, err, tt.want)
				assert.NotContains(t, err.Error(), "\n")
			}
		})
	}
}

func TestEncodings(t *testing.T) {
	want := "März"
	text := sheet(g(`id="`+want+`"`, ``))
	wide := func(order binary.ByteOrder) []byte {
		var b bytes.Buffer
		_ = binary.Write(&b, order, utf16.Encode([]rune("\ufeff"+`<?xml version="1.0" encoding="UTF-16"?>`+text)))
		return b.Bytes()
	}
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	_, _ = io.WriteString(z, text)
	_ = z.Close()
	for name, data := range map[string][]byte{
		"UTF-8":                []byte(text),
		"with a mark":          []byte("\ufeff" + text),
		"UTF-16, little":       wide(binary.LittleEndian),
		"UTF-16, big":          wide(binary.BigEndian),
		"Latin-1":              []byte(`<?xml version="1.0" encoding="ISO-8859-1"?>` + strings.ReplaceAll(text, "ä", "\xe4")),
		"compressed":           packed.Bytes(),
		"entities for names":   []byte(strings.ReplaceAll(text, "ä", "&#xe4;")),
		"a declared namespace": []byte(`<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd" [<!ENTITY ns_svg "http://www.w3.org/2000/svg"> <!ENTITY who 'März'>]>` + strings.Replace(strings.Replace(text, "http://www.w3.org/2000/svg", "&ns_svg;", 1), want, "&who;", 1)),
	} {
		got, err := Pattern(bytes.NewReader(data), "f.svg")
		require.NoError(t, err, name)
		assert.Equal(t, want, got[0].Name, name)
	}
	_, err := Pattern(strings.NewReader("\xff\xfe<"), "f.svg")
	assert.ErrorContains(t, err, "broken UTF-16")
}

type refused struct {
	name string
	file func() io.Reader
	want string
}

// hostile are files that would take too much of something.
func hostile(t testing.TB) []refused {
	body := func(s string) func() io.Reader {
		return func() io.Reader { return strings.NewReader(sheet(s)) }
	}
	repeat := func(before, s string, n int, after string) func() io.Reader {
		return func() io.Reader { return strings.NewReader(before + strings.Repeat(s, n) + after) }
	}
	const open, shut = `<svg width="5" height="5">`, `</svg>`
	lots := strings.Repeat("1 ", 8_000_000)
	var bomb bytes.Buffer
	z, err := gzip.NewWriterLevel(&bomb, gzip.BestSpeed)
	require.NoError(t, err)
	zeros := make([]byte, 1<<20)
	for range 300 {
		_, _ = z.Write(zeros)
	}
	_ = z.Close()
	large := filepath.Join(t.TempDir(), "large.svg")
	require.NoError(t, os.WriteFile(large, nil, 0o600))
	require.NoError(t, os.Truncate(large, 100<<20))
	return []refused{
		{"a large file", func() io.Reader { f, err := os.Open(large); require.NoError(t, err); return f }, "the file is larger than 16 MB"},
		{"an endless stream", func() io.Reader { return endless{} }, "the file is larger than 16 MB"},
		{"a packed bomb", func() io.Reader { return bytes.NewReader(bomb.Bytes()) }, "the file is larger than 16 MB"},
		{"a long comment in Latin letters", repeat(`<?xml version="1.0" encoding="latin1"?>`+open+"<!--", "\xe4", 16_000_000, "-->"+shut), "no pattern piece found"},
		{"elements", repeat(open, "<g/>", 4_000_000, shut), "more than 50000 elements"},
		{"depth", repeat(open, "<g>", 4_000_000, shut), "nested more than 100 deep"},
		{"depth of another language", repeat(open+`<x:a xmlns:x="u">`, "<x:b>", 3_000_000, shut), "nested more than 100 deep"},
		{"attributes", repeat(open+"<g", ` a="1"`, 2_500_000, "/>"+shut), "more than 500000 attributes"},
		{"attributes of one element", repeat(open+"<g", ` a="1"`, 400_000, "/>"+shut), "an element on line 1 has more than 500 attributes"},
		{"a long title", repeat(open+"<title>", "title ", 2_500_000, "</title>"+shut), "the title on line 1 is longer than 64 kB"},
		{"a long style", repeat(open+"<style>", "a{x:1}", 2_500_000, "</style>"+shut), "the style on line 1 is longer than 1024 kB"},
		{"style rules", repeat(open+"<style>", "a{x:1}", 30_000, "</style>"+shut), "more than 200 rules"},
		{"a long transform", repeat(open+`<g transform="`, "scale(1)", 2_000_000, `"/>`+shut), "longer than 1000 characters"},
		{"path segments", repeat(open+`<path d="M0 0`, "h1", 8_000_000, `Z"/>`+shut), "more than 100000 line segments"},
		{"moves", repeat(open+`<path d="M0 0`, "M1 1", 4_000_000, `Z"/>`+shut), "more than 100000 line segments"},
		{"arcs", repeat(open+`<path d="M0 0`, "a1 1 0 0 0 1 1 ", 1_000_000, `Z"/>`+shut), "more than 100000 line segments"},
		{"points", body(`<polygon points="` + lots + `"/>`), "more than 100000 line segments"},
		{"a number's digits", repeat(open+`<path d="M0 0h`, "9", 15_000_000, `Z"/>`+shut), "the number is too large"},
		{"pieces", repeat(open, `<path d="M0 0h9v9z"/>`, 3000, shut), "it holds 3000 pieces; keep to 2000 in a file"},
		{"used segments", body(`<defs><path id="p" d="M0 0` + strings.Repeat("h1v1", 20_000) + `Z"/></defs>` + strings.Repeat(`<use href="#p"/>`, 2000)), "more than 100000 line segments"},
		{"used again and again", body(`<defs>` + doubled(40) + `</defs><use href="#d40"/>`), "follow one another more than 20 deep"},
		{"used and used", body(`<defs>` + doubled(18) + `</defs><use href="#d18"/>`), "more than 50000 elements once every use is followed"},
		{"hidden and used", body(`<g id="q">` + strings.Repeat(`<path display="none" d="M0 0h9v9z"/>`, 20_000) + `</g>` + strings.Repeat(`<use href="#q"/>`, 20_000)), "more than 50000 elements once every use is followed"},
		{"nested entities", func() io.Reader {
			return strings.NewReader(`<!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "&a;&a;"><!ENTITY c "&b;&b;">]>` + open + "&c;" + shut)
		}, "declares an entity made of others"},
		{"many entities", func() io.Reader {
			return strings.NewReader("<!DOCTYPE svg [" + strings.Repeat(`<!ENTITY a "b">`, 1_000_000) + "]>" + open + shut)
		}, "declares entities that are not plain text, or too many"},
		{"many document types", func() io.Reader {
			return strings.NewReader(strings.Repeat("<!DOCTYPE svg []>", 900_000) + open + shut)
		}, "it has more than one document type"},
		{"long entities", func() io.Reader {
			return strings.NewReader(`<!DOCTYPE svg [<!ENTITY a "` + strings.Repeat("ha", 5000) + `">]>` + open + strings.Repeat("&a;", 100_000) + shut)
		}, "its entities could grow beyond 16 MB"},
		{"an entity from elsewhere", func() io.Reader {
			return strings.NewReader(`<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]>` + open + "&a;" + shut)
		}, "declares entities that are not plain text"},
		{"points of curves", body(`<g id="f"><path class="seam" d="M0 0` + strings.Repeat("c9e5 9e5 -9e5 9e5 0 0.1", 1500) + `Z"/>` + grain + `</g>`), "beyond 20 m"},
		{"points of flattened curves", body(`<g id="f"><path class="seam" d="M0 0` + strings.Repeat("c19000 9000 -19000 9000 0 0.1", 1000) + `Z"/>` + grain + `</g>`), "points; simplify the path to under 6000"},
		{"curves", body(`<g id="f"><path class="seam" d="M0 0` + strings.Repeat("c.1 .1 .2 .1 .3 0", 1500) + `V99Z"/>` + grain + `</g>`), "the outline has 1500 curves; simplify the path to under 1000"},
		{"a long outline that crosses itself last", body(`<g id="f"><path class="seam" d="M0 0` + strings.Repeat("h900v1h-900v1", 1450) + `H-50V-50H850V50Z"/>` + grain + `</g>`), "crosses or touches itself"},
		{"many marks on many curves, and a last one off", body(`<g id="f"><path class="seam" d="M0 0` + strings.Repeat("q5 5 10 0", 700) + `V99H0Z"/>` + grain + strings.Repeat(`<path class="edge hem" d="M0 99h20"/>`, 90) + `<path class="edge off" d="M0 130h20"/></g>`), "off the outline"},
		{"many notches on many curves, and a last one off", body(`<g id="f"><path class="seam" d="M0 0` + strings.Repeat("q5 5 10 0", 700) + `V99H0Z"/>` + grain + strings.Repeat(`<path class="notch" d="M50 99v5m3-5v5m3-5v5"/>`, 90) + `<path class="notch" d="M0 130h20"/></g>`), "off the outline"},
		{"a name that goes on", repeat(open+`<g id="`, "n", 10_000_000, `"><path class="seam" d="M0 0"/></g>`+shut), "the outline has no length"},
	}
}

// A hostile or broken file is refused in under 200 MB, with a message of its
// own. BenchmarkRefusal says how long each takes: under two seconds.
func TestLimits(t *testing.T) {
	if race.On {
		t.Skip("nothing here runs side by side, and it takes minutes under the race detector")
	}
	for _, tt := range hostile(t) {
		t.Run(tt.name, func(t *testing.T) {
			r := tt.file()
			peak := watchHeap()
			_, err := Pattern(r, "f.svg")
			mb := peak()
			assert.ErrorContains(t, err, tt.want)
			if err != nil {
				assert.Less(t, len(err.Error()), 2000, "the message")
			}
			assert.Less(t, mb, 200.0, "MB")
		})
	}
}

func BenchmarkRefusal(b *testing.B) {
	for _, tt := range hostile(b) {
		b.Run(tt.name, func(b *testing.B) {
			for b.Loop() {
				b.StopTimer()
				r := tt.file()
				b.StartTimer()
				if _, err := Pattern(r, "f.svg"); err == nil {
					b.Fatal("not refused")
				}
			}
		})
	}
}

// doubled is n groups, each using the one before twice.
func doubled(n int) string {
	out := `<rect id="d0" width="5" height="5"/>`
	for i := 1; i <= n; i++ {
		out += fmt.Sprintf(`<g id="d%d"><use href="#d%d"/><use href="#d%d"/></g>`, i, i-1, i-1)
	}
	return out
}

type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

// watchHeap samples the heap until the function it returns is called, which
// gives its peak above what it was, in MB.
func watchHeap() func() float64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	before, peak := m.HeapInuse, m.HeapInuse
	stop, done := make(chan bool), make(chan bool)
	go func() {
		defer close(done)
		for {
			select {
			case <-stop:
				return
			case <-time.After(2 * time.Millisecond):
				runtime.ReadMemStats(&m)
				peak = max(peak, m.HeapInuse)
			}
		}
	}()
	return func() float64 {
		close(stop)
		<-done
		return float64(peak-before) / (1 << 20)
	}
}
