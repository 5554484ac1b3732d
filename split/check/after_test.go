package check

import (
	"math"
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// goneOn is a plan, and the same once two parts are cut and one is spoilt and cut
// from elsewhere.
func goneOn(t testing.TB) (old, d *plan.Document) {
	t.Helper()
	old, d = garment(t), garment(t)
	o := &d.Options[0]
	o.Parts[frontUpper].IsCut, o.Parts[facing].IsCut = true, true
	o.Spoilt = []plan.Part{garment(t).Options[0].Parts[sleeve2]}
	more := d.Scraps[2]
	more.Name, more.SavedOf = "saved", o.Spoilt[0].Name
	d.Scraps = append(d.Scraps, more)
	o.Parts[sleeve2].Scrap = "saved"
	o.Parts[sleeve2].ScrapCopy = more.Copy
	return old, d
}

func TestAfter(t *testing.T) {
	t.Parallel()
	old, d := goneOn(t)
	require.Empty(t, After(old, 0, d, 0))
	old, d = goneOn(t)
	d.Scraps = append(d.Scraps, plan.Scrap{Name: "bought", Copy: 1})
	require.Empty(t, After(old, 0, d, 0, "jersey", "bought"), "cloth found since")
	require.Len(t, After(old, 0, d, 0, "jersey"), 1)
	for name, break_ := range map[string]func(old, d *plan.Document, o *plan.Option){
		"moved by the last digit": func(_, _ *plan.Document, o *plan.Option) {
			m := &o.Parts[facing].Placement
			m[4] = math.Nextafter(m[4], 1e9)
		},
		"another cutting line": func(_, _ *plan.Document, o *plan.Option) { o.Parts[facing].CutLine[0][0] += 1e-4 },
		"another seam line":    func(_, _ *plan.Document, o *plan.Option) { o.Parts[facing].SeamLine[0][0] += 1e-4 },
		"on another scrap":     func(_, _ *plan.Document, o *plan.Option) { o.Parts[facing].Scrap = "saved" },
		"a notch is gone": func(_, _ *plan.Document, o *plan.Option) {
			o.Parts[frontUpper].Notches = o.Parts[frontUpper].Notches[1:]
		},
		"cut before, and no longer": func(old, _ *plan.Document, o *plan.Option) {
			old.Options[0].Parts[facing].IsCut, o.Parts[facing].IsCut = true, false
		},
		"cut, and was no part":       func(_, _ *plan.Document, o *plan.Option) { o.Parts[facing].Name = "collar" },
		"spoilt, and was no part":    func(_, _ *plan.Document, o *plan.Option) { o.Spoilt[0].Name = "collar" },
		"spoilt elsewhere":           func(_, _ *plan.Document, o *plan.Option) { o.Spoilt[0].Placement[4]++ },
		"spoilt, and no longer":      func(old, d *plan.Document, o *plan.Option) { old.Options[0].Spoilt, o.Spoilt = o.Spoilt, nil },
		"cut and spoilt":             func(_, _ *plan.Document, o *plan.Option) { o.Parts[sleeve2].IsCut = true },
		"another piece":              func(_, d *plan.Document, _ *plan.Option) { d.Pieces[0].SeamLine[0][0] += 1e-4 },
		"a piece less":               func(_, d *plan.Document, _ *plan.Option) { d.Pieces = d.Pieces[1:] },
		"a scrap that was not there": func(_, d *plan.Document, _ *plan.Option) { d.Scraps[len(d.Scraps)-1].SavedOf = "" },
		"another scrap":              func(_, d *plan.Document, _ *plan.Option) { d.Scraps[0].Outline[0][0]++ },
		"a scrap more before them": func(_, d *plan.Document, _ *plan.Option) {
			d.Scraps = append([]plan.Scrap{{Name: "bought", Copy: 1}}, d.Scraps...)
		},
	} {
		old, d := goneOn(t)
		break_(old, d, &d.Options[0])
		found := After(old, 0, d, 0)
		require.NotEmpty(t, found, name)
		require.Equal(t, AlreadyCut, found[0].Rule, name)
		require.NotEmpty(t, found[0].Error())
	}
}
