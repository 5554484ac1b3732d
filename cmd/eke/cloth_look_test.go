package main

import (
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// In the report one fabric is drawn in one way, and grey where the list of
// scraps does not say its colour.
func TestFabricsInTheReport(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", shape("flag", "M 0,0 H 200 V 280 H 0 Z", `data-cut="3"`))
	write(t, dir, "scraps.csv", "name,fabric,length_cm,width_cm\nsheet,twill,31,23\ncover,lawn,31,23\ntail,twill,31,23\nflap,tan canvas,5,5\n")
	found(t, dir, "plan", "flag.svg", "scraps.csv", "-o", "out", "--options", "1")
	report := tree(t, filepath.Join(dir, "out"))["report.html"]
	fills := map[string]string{} // the fill by the cloth's id
	for _, m := range regexp.MustCompile(`<pattern id="(cloth-\d+)"[^>]*>(.*?)</pattern>`).FindAllStringSubmatch(report, -1) {
		require.NotContains(t, fills, m[1])
		fills[m[1]] = m[2]
	}
	require.Len(t, fills, 3)
	grey := regexp.MustCompile(`^<rect width="24" height="24" fill="#c6c8c3"/><path d="(.*?)"`)
	twill, lawn := grey.FindStringSubmatch(fills["cloth-0"]), grey.FindStringSubmatch(fills["cloth-1"])
	require.NotNil(t, twill)
	require.NotNil(t, lawn)
	require.NotEqual(t, twill[1], lawn[1])
	require.Contains(t, fills["cloth-2"], "#d2b48c") // tan
	require.Contains(t, report, "only tell looks apart")
	of := map[string]string{} // the cloth by the scrap's name
	for _, m := range regexp.MustCompile(`(?s)aria-label="Scrap ([a-z]+).*?url\(#(cloth-\d+)\)`).FindAllStringSubmatch(report, -1) {
		if before, seen := of[m[1]]; seen {
			require.Equal(t, before, m[2])
		}
		of[m[1]] = m[2]
	}
	require.Equal(t, map[string]string{"sheet": "cloth-0", "cover": "cloth-1", "tail": "cloth-0", "flap": "cloth-2"}, of)
}
