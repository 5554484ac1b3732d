package scraps

import (
	"math"
	"os"
	"strings"
	"testing"

	"eke/piece"
)

// sound reports what a scrap that was read without an error may not be.
func sound(t *testing.T, s piece.Scrap) {
	t.Helper()
	if s.Name == "" || len([]rune(s.Name)) > maxName || strings.ContainsFunc(s.Name, func(c rune) bool { return c < ' ' || c == 0x7f }) {
		t.Errorf("the name %q", s.Name)
	}
	if a := s.AreaMM2(); !(a >= 1) || a > maxMM*maxMM {
		t.Errorf("%q has %g mm²", s.Name, a)
	}
	if s.Count < 1 || s.Count > maxCount {
		t.Errorf("%q counts %d", s.Name, s.Count)
	}
	if s.GrainDeg != 90 || len(s.Outline) != 4 || len(s.Holes) != 0 {
		t.Errorf("%q is not an upright rectangle", s.Name)
	}
}

func plainError(t *testing.T, err error) {
	t.Helper()
	if s := err.Error(); strings.ContainsAny(s, "\n\r\x1b") || len(s) > 1000 {
		t.Errorf("the message %q", s)
	}
}

func FuzzCSV(f *testing.F) {
	if sample, err := os.ReadFile("../../samples/scraps.csv"); err == nil {
		f.Add(sample)
	}
	for _, s := range []string{
		"", header1, header1 + "a,navy,5,6\n", "\ufeffname;width_cm;length_cm\r\na;42,5;60\r\n", "sep=\t\nname\twidth_in\tlength_in\na\t12½\t1 1/2\n",
		"sep=\n", "sep=\"\n", "sep=\r\nname", "name,width (mm),length (m)\n\"a\",\"1,25\",NaN\n", "name,length_cm,width_cm,count,kind,nap,face\na,5,6,2,knit,yes,both\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		pile, err := ReadCSV(strings.NewReader(string(data)), "f.csv")
		if err != nil {
			plainError(t, err)
			return
		}
		if len(pile) == 0 {
			t.Error("no scrap and no error")
		}
		for _, s := range pile {
			sound(t, s)
		}
	})
}

func FuzzScrapFlag(f *testing.F) {
	for _, s := range []string{"navy rib: 42 x 60 cm", "a:1x1in", `a: 16½" × 24"`, "a: 42,5mm by 60 yd", "a 2: 1 1/2 X 3 m", "::x", "a:xx", ": 1x1cm", "a: 1e9 x 1 mm"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, err := ParseFlag(s)
		if err != nil {
			plainError(t, err)
			return
		}
		sound(t, got)
		if got.Fabric == "" {
			t.Error("no fabric")
		}
	})
}

func FuzzLength(f *testing.F) {
	for _, s := range []string{"180mm", "5/8\"", "12 1/2 in", "½in", "1,250 m", "-0.5cm", "1e3mm", "NaNmm", "2deg", "1.5°", "9/0in", "१mm"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if mm, err := ParseLength(s); err != nil {
			plainError(t, err)
		} else if math.IsNaN(mm) || math.Abs(mm) > 1e9 {
			t.Errorf("%q is %g mm", s, mm)
		}
		if deg, err := ParseAngle(s); err != nil {
			plainError(t, err)
		} else if !(math.Abs(deg) <= 360) {
			t.Errorf("%q is %g degrees", s, deg)
		}
	})
}
