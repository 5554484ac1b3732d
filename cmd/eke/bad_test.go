//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"eke/cmd/words"

	"github.com/stretchr/testify/require"
)

// What is wrong with a pattern is said in one line that names the file, the
// piece and the cure.
func TestBadPatterns(t *testing.T) {
	t.Parallel()
	svg := func(attributes, body string) string {
		return `<svg xmlns="http://www.w3.org/2000/svg" ` + attributes + `>` + body + `</svg>`
	}
	const sized = `width="1000mm" height="1000mm" viewBox="0 0 1000 1000"`
	for name, c := range map[string]struct {
		file  string
		words []string
	}{
		"not SVG":              {"%PDF-1.4\n1 0 obj\n", []string{"flag.svg"}},
		"another kind of XML":  {`<html><body/></html>`, []string{"flag.svg"}},
		"empty":                {"", []string{"flag.svg"}},
		"cut short":            {flag[:len(flag)-20], []string{"flag.svg"}},
		"no piece":             {svg(sized, ""), []string{"flag.svg"}},
		"an open outline":      {shape("flag", "M 0,0 H 200 V 280"), []string{"flag.svg", `"flag"`, "open"}},
		"a crossing outline":   {shape("flag", "M 0,0 L 200,280 V 0 L 0,200 Z"), []string{"flag.svg", `"flag"`, "cross"}},
		"no unit":              {svg(`viewBox="0 0 1000 1000"`, `<g id="flag"><path class="seam" d="M 0,0 H 200 V 280 H 0 Z"/></g>`), []string{"flag.svg", "mm"}},
		"no area":              {shape("flag", "M 0,0 H 200 H 0 Z"), []string{"flag.svg", `"flag"`}},
		"a number that is nan": {shape("flag", "M 0,0 H NaN V 280 H 0 Z"), []string{"flag.svg"}},
		"an endless number":    {shape("flag", "M 0,0 H 1e999 V 280 H 0 Z"), []string{"flag.svg"}},
		"a huge number":        {shape("flag", "M 0,0 H 1e300 V 280 H 0 Z"), []string{"flag.svg"}},
		"a half path":          {shape("flag", "M 0,0 H 200 V 280 H 0 Q 5"), []string{"flag.svg", `"flag"`}},
		"no grainline": {svg(sized, `<g id="flag"><path class="seam" d="M 0,0 H 200 V 280 H 0 Z"/><path class="notch" d="M 0,50 H 4"/></g>`),
			[]string{"flag.svg", `"flag"`, "grain"}},
		"a grainline of no length": {svg(sized, `<g id="flag"><path class="seam" d="M 0,0 H 200 V 280 H 0 Z"/><path class="grain" d="M 50,50 H 50"/></g>`),
			[]string{"flag.svg", `"flag"`, "grain"}},
		"a join to nowhere": {svg(sized, `<g id="flag"><path class="seam" d="M 0,0 H 200 V 280 H 0 Z"/><path class="grain" d="M 50,50 V 90"/>
<path class="edge side" data-joins="pole/side" d="M 0,280 V 0"/></g>`), []string{"flag.svg", "pole"}},
		"a count too many": {shape("flag", "M 0,0 H 200 V 280 H 0 Z", `data-cut="201"`), []string{"flag.svg", "201"}},
		"counts too many": {svg(sized, strings.Repeat(`<g data-cut="200"><path class="seam" d="M 0,0 H 200 V 280 H 0 Z"/><path class="grain" d="M 50,50 V 90"/></g>`, 11)),
			[]string{"flag.svg", "more than 2000 pieces"}},
		"a count that is none": {shape("flag", "M 0,0 H 200 V 280 H 0 Z", `data-cut="many"`), []string{"flag.svg", "many"}},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			write(t, dir, "flag.svg", c.file)
			for _, args := range [][]string{
				{"plan", "flag.svg", "--scrap", "linen: 1 x 1 m", "-o", "out"},
				{"fit", "flag.svg", "--scrap", "linen: 1 x 1 m"},
				{"split", "flag.svg", "--piece", "flag", "--yoke", "100mm", "-o", "out"},
				{"sheets", "flag.svg", "-o", "out.pdf"},
			} {
				refused(t, dir, args, c.words...)
			}
		})
	}
}

func TestBadScraps(t *testing.T) {
	for name, c := range map[string]struct {
		file, text string
		words      []string
	}{
		"an empty table":       {"pile.csv", "", []string{"pile.csv", "empty"}},
		"no rows":              {"pile.csv", "name,width_cm,length_cm\n", []string{"pile.csv", "no scraps"}},
		"no unit":              {"pile.csv", "name,width,length\nlinen,30,40\n", []string{"pile.csv"}},
		"a word for a number":  {"pile.csv", "name,width_cm,length_cm\nlinen,30,long\n", []string{"pile.csv", "row 2", "long"}},
		"nan":                  {"pile.csv", "name,width_cm,length_cm\nlinen,NaN,40\n", []string{"pile.csv", "row 2", "NaN"}},
		"less than nothing":    {"pile.csv", "name,width_cm,length_cm\nlinen,-3,40\n", []string{"pile.csv", "row 2"}},
		"two of one name":      {"pile.csv", "name,width_cm,length_cm\nlinen,30,40\nlinen,3,40\n", []string{"pile.csv", "linen", "rename"}},
		"not SVG":              {"pile.svg", "name,width_cm,length_cm\nlinen,30,40\n", []string{"pile.svg"}},
		"an open scrap":        {"pile.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="1cm" height="1cm" viewBox="0 0 10 10"><g id="linen"><path class="outline" d="M 0,0 H 9 V 9"/></g></svg>`, []string{"pile.svg", "linen"}},
		"some other file":      {"pile.ods", "PK", []string{"pile.ods", ".csv"}},
		"a bolt for each":      {"pile.csv", "name,width_cm,length_cm,count\n" + "a,3,4,200\nb,3,4,200\nc,3,4,200\nd,3,4,200\ne,3,4,200\nf,3,4,200\ng,3,4,200\nh,3,4,200\ni,3,4,200\nj,3,4,200\nk,3,4,1\n", []string{"pile.csv", "more than 2000 scraps"}},
		"commas":               {"pile.csv", strings.Repeat(",", 1<<20-1), []string{"pile.csv", "more than 500 cells"}},
		"a photograph's bytes": {"pile.csv", "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", []string{"pile.csv"}},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			write(t, dir, "flag.svg", flag)
			write(t, dir, c.file, c.text)
			refused(t, dir, []string{"plan", "flag.svg", c.file, "-o", "out"}, c.words...)
			refused(t, dir, []string{"fit", "flag.svg", c.file}, c.words...)
		})
	}
}

func TestBadUse(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		args  string
		words []string
	}{
		"no such command":        {"plam flag.svg", []string{`no command "plam"`, "plan"}},
		"no such command at all": {"knit flag.svg", []string{`no command "knit"`, "fit, ", "plan, ", "sheets, ", "split"}},
		"no such flag":           {"plan flag.svg --colour red", []string{"--colour", "eke plan --help"}},
		"no such short flag":     {"plan flag.svg -x", []string{"-x"}},
		"no such root flag":      {"--colour red", []string{"--colour", "eke --help"}},
		"a flag with no value":   {"plan flag.svg -o", []string{"-o"}},
		"an empty output":        {"plan flag.svg pile.csv -q --output=", []string{"--output", "it is empty"}},
		"empty kinds of seam":    {"plan flag.svg pile.csv --seams=", []string{"--seams", "it is empty"}},
		"nothing cut already":    {"plan flag.svg pile.csv --cut=", []string{"--cut", "it is empty"}},
		"a comma alone is cut":   {"plan flag.svg pile.csv --cut=,", []string{"--cut", "it is empty"}},
		"no yoke at all":         {"split flag.svg --yoke=", []string{"--yoke", "it is empty"}},
		"no pattern":             {"plan", []string{"eke plan PATTERN SCRAPS… -o DIR"}},
		"no scraps":              {"plan flag.svg", []string{"no scraps", "--scrap"}},
		"no pattern to fit":      {"fit", []string{"eke fit PATTERN SCRAPS…"}},
		"no pattern to split":    {"split --piece flag", []string{"eke split PATTERN"}},
		"two patterns to split":  {"split flag.svg flag.svg --piece flag --centre", []string{`"flag.svg" is one too many`}},
		"a missing pattern":      {"plan gone.svg pile.csv", []string{"gone.svg", "no such file"}},
		"a missing pile":         {"plan flag.svg gone.csv", []string{"gone.csv", "no such file"}},
		"a folder as pattern":    {"plan folder pile.csv", []string{"folder is a folder"}},
		"a folder as pile":       {"plan flag.svg folder.csv", []string{"folder.csv is a folder"}},
		"a device":               {"plan /dev/zero pile.csv", []string{"/dev/zero is not a file"}},
		"a scrap with no name":   {"plan flag.svg --scrap 42x60cm", []string{"--scrap", "navy rib: 42 x 60 cm"}},
		"a scrap with no unit":   {"plan flag.svg --scrap rib:42x60", []string{"--scrap", "unit"}},
		"a scrap with one side":  {"plan flag.svg --scrap rib:42cm", []string{"--scrap", "width by a length"}},
		"a length with no unit":  {"plan flag.svg pile.csv --allowance 10", []string{"--allowance", "10mm"}},
		"a length that is none":  {"plan flag.svg pile.csv --gap wide", []string{"--gap", "wide"}},
		"a length of nan":        {"plan flag.svg pile.csv --gap NaNmm", []string{"--gap", "NaN"}},
		"a gap below nothing":    {"plan flag.svg pile.csv --gap -3mm", []string{"--gap", "0mm"}},
		"an allowance too wide":  {"plan flag.svg pile.csv --allowance 3m", []string{"--allowance", "100mm"}},
		"an angle with no unit":  {"plan flag.svg pile.csv --grain-tolerance 2", []string{"--grain-tolerance", "2deg"}},
		"an angle too large":     {"plan flag.svg pile.csv --grain-tolerance 90deg", []string{"--grain-tolerance", "45deg"}},
		"the same for fit":       {"fit flag.svg pile.csv --grain-tolerance 90deg", []string{"--grain-tolerance", "45deg"}},
		"no options":             {"plan flag.svg pile.csv --options 0", []string{"--options"}},
		"options by the word":    {"plan flag.svg pile.csv --options few", []string{"eke: --options few: give a whole number, 0 or more"}},
		"seams below nothing":    {"plan flag.svg pile.csv --max-seams -1", []string{"--max-seams"}},
		"no time":                {"plan flag.svg pile.csv --time 0s", []string{"--time", "20s"}},
		"a time with no unit":    {"plan flag.svg pile.csv --time 20", []string{"--time 20", "30s"}},
		"an unknown order":       {"plan flag.svg pile.csv --sort colour", []string{"--sort", "seams, length or intrusion"}},
		"an unknown kind":        {"plan flag.svg pile.csv --seams zigzag", []string{"--seams zigzag", "yoke"}},
		"an edge with no join":   {"plan flag.svg pile.csv --seams hem", []string{"--seams hem", "yoke"}},
		"an unknown unit":        {"plan flag.svg pile.csv --units furlong", []string{"--units", "mm, cm or in"}},
		"quiet and verbose":      {"plan flag.svg pile.csv -q -v", []string{"--quiet shows nothing", "give one of them"}},
		"quiet and JSON":         {"plan flag.svg pile.csv -q --json", []string{"--quiet shows nothing", "give one of them"}},
		"a seed below nothing":   {"plan flag.svg pile.csv --seed -1", []string{"eke: --seed -1: give a whole number, 0 or more"}},
		"output to a file":       {"plan flag.svg pile.csv -o pile.csv", []string{"pile.csv is not a folder"}},
		"output below a file":    {"plan flag.svg pile.csv -o pile.csv/out", []string{"pile.csv", "not a directory"}},
		"output here":            {"plan flag.svg pile.csv -o .", []string{"the folder you are in"}},
		"output above":           {"plan flag.svg pile.csv -o /", []string{"holds it"}},
		"output among others":    {"plan flag.svg pile.csv -o full", []string{"files that eke did not write: letter.txt"}},
		"a split among others":   {"split flag.svg --piece flag --centre -o full", []string{"files that eke did not write: letter.txt"}},
		"sheets of nothing":      {"sheets", []string{"eke sheets"}},
		"sheets of no file":      {"sheets gone/option-1", []string{"gone/option-1", "no such file"}},
		"sheets of a folder":     {"sheets folder", []string{"folder is no option", "or a pattern file"}},
		"sheets of all here":     {"sheets .", []string{". is no option", "such as flag.svg"}},
		"sheets of a plan":       {"sheets done", []string{"done is no option", "such as done/option-1"}},
		"sheets of plan.json":    {"sheets done/plan.json", []string{"plan.json is not what is printed", "such as done/option-1"}},
		"sheets of a report":     {"sheets done/report.html", []string{"report.html is not what is printed", "such as done/option-1"}},
		"sheets of no option":    {"sheets done/option-9", []string{"done/option-9", "no such file"}},
		"sheets of no part":      {"sheets done/option-1 sleeve", []string{`no part "sleeve"`, "flag"}},
		"sheets of no piece":     {"sheets flag.svg sleeve", []string{`no piece "sleeve"`, "flag"}},
		"sheets of a table":      {"sheets pile.csv", []string{"pile.csv"}},
		"no such paper":          {"sheets flag.svg --paper a9", []string{"--paper", "a9", "a4", "914mm"}},
		"a margin too wide":      {"sheets flag.svg --margin 90mm", []string{"margin"}},
		"a margin with no unit":  {"sheets flag.svg --margin 9", []string{"--margin", "9mm"}},
		"an overlap too wide":    {"sheets flag.svg --overlap 190mm", []string{"from 0 mm to 63 mm is possible"}},
		"a layout of a pattern":  {"sheets flag.svg --layout", []string{"--layout"}},
		"sheets over a table":    {"sheets flag.svg -o pile.csv", []string{"pile.csv", "in .pdf, such as pile.pdf"}},
		"sheets over no PDF":     {"sheets flag.svg -o letter.pdf", []string{"letter.pdf is there already", "no PDF"}},
		"sheets to a text":       {"sheets flag.svg -o x.txt", []string{"-o x.txt", "in .pdf, such as x.pdf"}},
		"sheets to no kind":      {"sheets flag.svg -o x", []string{"-o x", "in .pdf, such as x.pdf"}},
		"a layout to a picture":  {"sheets done/option-1 --layout -o x.svg", []string{"-o x.svg", "in .pdf, such as x.pdf"}},
		"sheets to a folder":     {"sheets flag.svg -o folder", []string{"folder is a folder", "such as folder/"}},
		"a pile given twice":     {"plan flag.svg pile.csv ./pile.csv", []string{"./pile.csv: it is given twice", "leave one out"}},
		"a plan to a PDF":        {"plan flag.svg pile.csv -o out.pdf", []string{"-o out.pdf is not a folder's name", "without .pdf"}},
		"a plan to a page":       {"plan flag.svg pile.csv -o out/report.HTML", []string{"report.HTML is not a folder's name"}},
		"a split to a drawing":   {"split flag.svg --piece flag --centre -o halves.svg", []string{"halves.svg is not a folder's name"}},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			write(t, dir, "flag.svg", flag)
			write(t, dir, "pile.csv", "name,width_cm,length_cm\nlinen,30,40\n")
			for _, sub := range []string{"folder", "folder.csv", "full"} {
				require.NoError(t, os.Mkdir(filepath.Join(dir, sub), 0o755))
			}
			write(t, dir, "full/letter.txt", "Dear …")
			if strings.Contains(c.args, "letter.pdf") {
				write(t, dir, "letter.pdf", "Dear …")
			}
			if strings.Contains(c.args, "done") {
				found(t, dir, "plan", "flag.svg", "pile.csv", "-o", "done")
			}
			refused(t, dir, strings.Fields(c.args), c.words...)
		})
	}
}

// A file of 100 MB is refused within 2 s and 200 MB.
func TestHugeFiles(t *testing.T) {
	const size = 100 << 20
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	write(t, dir, "pile.csv", "name,width_cm,length_cm\nlinen,30,40\n")
	huge := func(name, start, again, end string) {
		f, err := os.Create(filepath.Join(dir, name))
		require.NoError(t, err)
		defer f.Close()
		_, err = f.WriteString(start)
		require.NoError(t, err)
		block := bytes.Repeat([]byte(again), 1<<20/len(again)+1)
		for written := 0; written < size; written += len(block) {
			_, err = f.Write(block)
			require.NoError(t, err)
		}
		_, err = f.WriteString(end)
		require.NoError(t, err)
	}
	const head = `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">`
	huge("elements.svg", head, `<g id="a"/>`, `</svg>`)
	huge("deep.svg", head, `<g>`, ``)
	huge("path.svg", head+`<g id="flag"><path class="seam" d="M 0,0 `, `L 200,0 L 200,280 `, `Z"/></g></svg>`)
	huge("text.svg", head+`<desc>`, `lorem ipsum `, `</desc></svg>`)
	huge("zeros.svg", "", "\x00", "")
	huge("rows.csv", "name,width_cm,length_cm\n", "linen,30,40\n", "")
	huge("one-row.csv", "name,width_cm,length_cm\n", "linen ", "")
	for _, args := range [][]string{
		{"fit", "elements.svg", "pile.csv"},
		{"fit", "deep.svg", "pile.csv"},
		{"fit", "path.svg", "pile.csv"},
		{"fit", "text.svg", "pile.csv"},
		{"fit", "zeros.svg", "pile.csv"},
		{"fit", "flag.svg", "rows.csv"},
		{"fit", "flag.svg", "one-row.csv"},
		{"fit", "flag.svg", "elements.svg"},
	} {
		t.Run(strings.Join(args[1:], " "), func(t *testing.T) {
			cmd := exec.Command(binary, args...)
			cmd.Dir = dir
			var stderr bytes.Buffer
			cmd.Stderr = &stderr
			start := time.Now()
			require.Error(t, cmd.Run())
			took := time.Since(start)
			require.Equal(t, 2, cmd.ProcessState.ExitCode())
			require.Equal(t, 1, strings.Count(stderr.String(), "\n"), stderr.String())
			usage, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage)
			require.True(t, ok)
			peak := usage.Maxrss << 10 // Linux gives kilobytes
			t.Logf("%v, %d MB: %s", took, peak>>20, stderr.String())
			require.Less(t, peak, int64(200<<20))
			// Its own time, for the machine may be busy with other tests.
			require.Less(t, cmd.ProcessState.UserTime()+cmd.ProcessState.SystemTime(), 2*time.Second)
		})
	}
}

// Names from files, flags and paths may hold what would move a terminal's
// cursor or colour it; none of it gets there.
func TestControlCharactersNeverReachTheTerminal(t *testing.T) {
	t.Parallel()
	const evil = "\x1b[31mred\x07\x9b2J\u009b31m\u202egnp\u2028"
	dir := t.TempDir()
	name := "fl\u009b31mag\u202e\u2028"
	write(t, dir, "flag.svg", shape(name, "M 0,0 H 200 V 280 H 0 Z"))
	write(t, dir, "pile.csv", "name,width_cm,length_cm\nli"+evil+"nen,22.5,17\nwo"+evil+"ol,22.5,17\n")
	odd := "p" + evil + ".svg"
	write(t, dir, odd, "no SVG")
	for _, args := range [][]string{
		{"plan", "flag.svg", "pile.csv", "-v", "-o", "o" + evil},
		{"plan", "flag.svg", "pile.csv", "--max-seams", "0"},
		{"plan", "flag.svg", "--scrap", evil + ": 22.5 x 17 cm"},
		{"plan", "flag.svg", "--scrap", evil},
		{"plan", odd, "pile.csv"},
		{"plan", "flag.svg", evil + ".csv"},
		{"plan", "flag.svg", "pile.csv", "--seams", evil},
		{"plan", "flag.svg", "pile.csv", "--units", evil},
		{"plan", "flag.svg", "pile.csv", "--" + evil},
		{"plan", "flag.svg", "pile.csv", "--sort", evil},
		{"fit", "flag.svg", "pile.csv"},
		{"split", "flag.svg", "--piece", evil, "--centre"},
		{"split", "flag.svg", "--piece", "flag", "--move", evil + "=3mm"},
		{"sheets", "flag.svg", "-o", evil + ".pdf"},
		{"sheets", "flag.svg", "--paper", evil},
		{evil},
	} {
		r := eke(t, dir, args...)
		for _, text := range []string{r.stdout, r.stderr} {
			require.NotEmpty(t, r.stdout+r.stderr)
			for _, line := range strings.Split(text, "\n") {
				require.Equal(t, words.Plain(line), line, "%q", args)
				require.False(t, strings.ContainsAny(line, "\x1b\x07\u009b\u202e\u2028"), "%q", args)
			}
		}
	}
}

func TestANameCannotLeaveTheFolder(t *testing.T) {
	for _, name := range []string{"../../up", "..", "/etc/passwd", "a/b", `a\b`, "plan.json", "pieces", "Layout", "con:", ".hidden", "-rf", strings.Repeat("long", 100)} {
		t.Run(fmt.Sprintf("%.20s", name), func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.MkdirAll(filepath.Join(dir, "a", "b"), 0o755))
			write(t, dir, "flag.svg", shape(name, "M 0,0 H 200 V 280 H 0 Z"))
			found(t, dir, "plan", "flag.svg", "--scrap", "linen: 22.5 x 30.5 cm", "-o", "a/b/out")
			require.Equal(t, []string{"a", "flag.svg"}, listed(t, dir))
			require.Equal(t, []string{"out"}, listed(t, filepath.Join(dir, "a", "b")))
			files := listed(t, filepath.Join(dir, "a", "b", "out", "option-1"))
			require.Len(t, files, 4, "%v", files)
			verified(t, filepath.Join(dir, "a", "b", "out"))
		})
	}
}
