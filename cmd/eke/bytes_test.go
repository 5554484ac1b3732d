package main

import (
	"crypto/sha256"
	command "flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var updateBytes = command.Bool("update", false, "write down what the files of the samples are")

// Every file that plan, split and sheets write of the samples is as it was, to
// the byte. Where a file is meant to change, the list is written anew with
// -update, and the change says why.
func TestFilesAreAsTheyWere(t *testing.T) {
	t.Parallel()
	if runtime.GOARCH != "amd64" {
		t.Skip("other processors round otherwise")
	}
	dir := t.TempDir()
	for _, name := range []string{"tshirt.svg", "raglan-child.svg", "blouse.svg"} {
		text, err := os.ReadFile(sample(t, name))
		require.NoError(t, err)
		write(t, dir, name, string(text))
	}
	for name, args := range map[string]string{
		"tshirt":   "plan tshirt.svg scraps.csv",
		"offcuts":  "plan tshirt.svg scraps.svg --options 1",
		"raglan":   "plan raglan-child.svg scraps.csv --options 1",
		"inches":   "plan raglan-child.svg scraps.svg --options 1 --units in",
		"cardigan": "plan cardigan.svg jumpers.svg --options 1",
		"blouse":   "plan blouse.svg lawn.svg --options 1",
		"short":    "split tshirt.svg --piece front --yoke 255mm --centre",
		"curved":   "split blouse.svg --piece front --curved-yoke 180mm",
		"moved":    "split tshirt.svg --piece front --move shoulder=30mm",
		"sleeve":   "split raglan-child.svg --piece sleeve --panel 10mm --yoke 120mm",
	} {
		if words, ok := strings.CutPrefix(args, "plan "); ok {
			out, _ := planned(t, words)
			require.NoError(t, os.CopyFS(filepath.Join(dir, name), os.DirFS(out)))
		} else {
			found(t, dir, append(strings.Fields(args), "-o", name)...)
		}
		found(t, dir, "sheets", name+"/option-1", "--quiet")
		found(t, dir, "sheets", name+"/option-1", "--layout", "--paper", "914mm", "--quiet")
	}
	found(t, dir, "sheets", "blouse.svg", "--paper", "letter", "--quiet")
	files := tree(t, dir)
	var got strings.Builder
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if text := files[name]; strings.Contains(name, "/") && filepath.Ext(name) != "" {
			fmt.Fprintf(&got, "%x %s\n", sha256.Sum256([]byte(text)), name)
		}
	}
	list := filepath.Join("testdata", "bytes.txt")
	if *updateBytes {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(list, []byte(got.String()), 0o644))
		return
	}
	want, err := os.ReadFile(list)
	require.NoError(t, err)
	was := map[string]string{}
	for line := range strings.Lines(string(want)) {
		sum, name, _ := strings.Cut(strings.TrimSpace(line), " ")
		was[name] = sum
	}
	for line := range strings.Lines(got.String()) {
		sum, name, _ := strings.Cut(strings.TrimSpace(line), " ")
		if was[name] != sum {
			t.Errorf("%s is not what it was", name)
		}
		delete(was, name)
	}
	require.Empty(t, was, "files that are no longer written")
}
