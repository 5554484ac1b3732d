package outdir

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// put writes the files, name to content, to dir.
func put(dir string, files map[string]string) error {
	d, err := New(dir)
	if err != nil {
		return err
	}
	defer d.Discard()
	if err := fill(d, files); err != nil {
		return err
	}
	return d.Commit()
}

func fill(d *Dir, files map[string]string) error {
	for name, text := range files {
		err := d.Write(name, func(w io.Writer) error {
			_, err := io.WriteString(w, text)
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// tree is every file below dir but the list, name to content.
func tree(t testing.TB, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() || e.Name() == manifest {
			return err
		}
		data, err := os.ReadFile(path)
		name, _ := filepath.Rel(dir, path)
		out[filepath.ToSlash(name)] = string(data)
		return err
	})
	require.NoError(t, err)
	return out
}

// names is what lies in a folder, hidden things too.
func names(t testing.TB, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

func TestARunReplacesItsOwnOutputWhole(t *testing.T) {
	parent := t.TempDir()
	target := filepath.Join(parent, "out")
	first := map[string]string{"plan.json": "1", "option-1/a.svg": "1", "option-2/b.svg": "1"}
	require.NoError(t, put(target, first))
	require.Equal(t, first, tree(t, target))
	second := map[string]string{"plan.json": "2", "option-1/c.svg": "2"}
	require.NoError(t, put(target, second))
	require.Equal(t, second, tree(t, target))
	require.Equal(t, []string{"out"}, names(t, parent))
}

func TestAnEmptyFolderMayBeTaken(t *testing.T) {
	target := t.TempDir()
	require.NoError(t, put(target, map[string]string{"a": "1"}))
	require.Equal(t, map[string]string{"a": "1"}, tree(t, target))
}

func TestOutputWithFilesDeletedMayBeReplaced(t *testing.T) {
	target := filepath.Join(t.TempDir(), "out")
	require.NoError(t, put(target, map[string]string{"a": "1", "b/c": "1"}))
	require.NoError(t, os.Remove(filepath.Join(target, "b", "c")))
	require.NoError(t, put(target, map[string]string{"a": "2"}))
}

func TestForeignFilesAreKeptAndNamed(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(t *testing.T, target string)
		named string
	}{
		"a file in a folder of someone's own": {func(t *testing.T, target string) {
			require.NoError(t, os.RemoveAll(target))
			require.NoError(t, os.Mkdir(target, 0o755))
			require.NoError(t, os.WriteFile(filepath.Join(target, "letter.txt"), nil, 0o644))
		}, "letter.txt"},
		"a file beside the output": {func(t *testing.T, target string) {
			require.NoError(t, os.WriteFile(filepath.Join(target, "option-1", "note.txt"), []byte("mine"), 0o644))
		}, "option-1/note.txt"},
		"a file that was changed": {func(t *testing.T, target string) {
			require.NoError(t, os.WriteFile(filepath.Join(target, "option-1", "a.svg"), []byte("better"), 0o644))
		}, "changed since eke wrote them: option-1/a.svg"},
		"an empty folder": {func(t *testing.T, target string) {
			require.NoError(t, os.Mkdir(filepath.Join(target, "photos"), 0o755))
		}, "photos/"},
		"a link in place of a file": {func(t *testing.T, target string) {
			require.NoError(t, os.Remove(filepath.Join(target, "plan.json")))
			require.NoError(t, os.Symlink("/etc/hostname", filepath.Join(target, "plan.json")))
		}, "plan.json"},
		"a list that cannot be read": {func(t *testing.T, target string) {
			require.NoError(t, os.WriteFile(filepath.Join(target, manifest), []byte("{"), 0o644))
		}, "list of files"},
		"the list and nothing in it": {func(t *testing.T, target string) {
			require.NoError(t, os.WriteFile(filepath.Join(target, manifest), []byte("{}"), 0o644))
		}, manifest},
		"many files": {func(t *testing.T, target string) {
			for i := range 9 {
				require.NoError(t, os.WriteFile(filepath.Join(target, fmt.Sprint("x", i)), nil, 0o644))
			}
		}, "x4, and 4 more"},
	} {
		t.Run(name, func(t *testing.T) {
			parent := t.TempDir()
			target := filepath.Join(parent, "out")
			require.NoError(t, put(target, map[string]string{"plan.json": "1", "option-1/a.svg": "1"}))
			c.spoil(t, target)
			before := tree(t, target)
			require.ErrorContains(t, put(target, map[string]string{"plan.json": "2"}), c.named)
			require.Equal(t, before, tree(t, target))
			require.Equal(t, []string{"out"}, names(t, parent))
		})
	}
}

func TestAFileThatComesWhileWritingIsKept(t *testing.T) {
	parent := t.TempDir()
	target := filepath.Join(parent, "out")
	require.NoError(t, put(target, map[string]string{"a": "1"}))
	d, err := New(target)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(target, "mine"), []byte("mine"), 0o644))
	require.ErrorContains(t, d.Commit(), "mine")
	require.NoError(t, d.Discard())
	require.Equal(t, map[string]string{"a": "1", "mine": "mine"}, tree(t, target))
	require.Equal(t, []string{"out"}, names(t, parent))
}

func TestTargetsThatAreNoFolder(t *testing.T) {
	parent := t.TempDir()
	file, link := filepath.Join(parent, "file"), filepath.Join(parent, "link")
	require.NoError(t, os.WriteFile(file, []byte("mine"), 0o644))
	require.NoError(t, os.Symlink(t.TempDir(), link))
	require.ErrorContains(t, put(file, nil), "not a folder")
	require.ErrorContains(t, put(link, nil), "is a link")
	require.ErrorContains(t, put(filepath.Join(file, "out"), nil), "not a directory")
	require.ErrorContains(t, put(".", nil), "the folder you are in")
	require.ErrorContains(t, put("/", nil), "holds it")
	require.Equal(t, []string{"file", "link"}, names(t, parent))
}

func TestNamesCannotLeaveTheFolder(t *testing.T) {
	parent := t.TempDir()
	d, err := New(filepath.Join(parent, "out"))
	require.NoError(t, err)
	for _, name := range []string{"", ".", "..", "../x", "a/../../x", "/x", "a//b", "a/", "./a", manifest} {
		require.Error(t, d.Write(name, func(io.Writer) error { return nil }), name)
	}
	require.NoError(t, d.Discard())
	require.Empty(t, names(t, parent))
}

func TestAWriteThatFailsLeavesNothing(t *testing.T) {
	parent := t.TempDir()
	target := filepath.Join(parent, "deep", "down", "out")
	d, err := New(target)
	require.NoError(t, err)
	broken := errors.New("no ink")
	require.NoError(t, fill(d, map[string]string{"a/b": "1"}))
	require.ErrorIs(t, d.Write("c", func(io.Writer) error { return broken }), broken)
	require.NoError(t, d.Discard())
	require.Empty(t, names(t, parent))
}

func TestDiscardAfterCommitKeepsTheOutput(t *testing.T) {
	target := filepath.Join(t.TempDir(), "deep", "out")
	d, err := New(target)
	require.NoError(t, err)
	require.NoError(t, fill(d, map[string]string{"a": "1"}))
	require.NoError(t, d.Commit())
	require.NoError(t, d.Discard())
	require.Equal(t, map[string]string{"a": "1"}, tree(t, target))
}

func TestAddKeepsWhatIsThere(t *testing.T) {
	parent := t.TempDir()
	target := filepath.Join(parent, "out")
	say := func(text string) func(io.Writer) error {
		return func(w io.Writer) error {
			_, err := io.WriteString(w, text)
			return err
		}
	}
	require.NoError(t, put(target, map[string]string{"plan.json": "1", "option-1/a.svg": "1", "gone": "1"}))
	require.NoError(t, os.Remove(filepath.Join(target, "gone")))
	for _, text := range []string{"2", "3"} {
		require.NoError(t, Add(target, "option-1/a4.pdf", say(text)))
		require.Equal(t, map[string]string{"plan.json": "1", "option-1/a.svg": "1", "option-1/a4.pdf": text}, tree(t, target))
	}
	require.NoError(t, Add(target, "deep/down/a4.pdf", say("4")))
	broken := errors.New("no ink")
	require.ErrorIs(t, Add(target, "option-1/a4.pdf", func(io.Writer) error { return broken }), broken)
	require.Equal(t, "3", tree(t, target)["option-1/a4.pdf"])
	require.Error(t, Add(target, "../a4.pdf", say("5")))
	require.NoError(t, put(target, map[string]string{"plan.json": "6"}), "what was added is eke's own")
	require.Equal(t, map[string]string{"plan.json": "6"}, tree(t, target))
	require.Equal(t, []string{"out"}, names(t, parent))
}

func TestAddRefusesForeignFolders(t *testing.T) {
	target := t.TempDir()
	nothing := func(io.Writer) error { return nil }
	require.ErrorContains(t, Add(target, "a", nothing), "no output of eke's")
	require.NoError(t, os.WriteFile(filepath.Join(target, "mine"), nil, 0o644))
	require.ErrorContains(t, Add(target, "a", nothing), "mine")
	require.Equal(t, map[string]string{"mine": ""}, tree(t, target))
}

func TestSwapInTwoBringsTheOldBack(t *testing.T) {
	parent := t.TempDir()
	target := filepath.Join(parent, "out")
	require.NoError(t, put(target, map[string]string{"a": "1"}))
	_, err := swapInTwo(filepath.Join(parent, "no such"), target)
	require.Error(t, err)
	require.Equal(t, map[string]string{"a": "1"}, tree(t, target))

	require.NoError(t, put(filepath.Join(parent, "new"), map[string]string{"a": "2"}))
	old, err := swapInTwo(filepath.Join(parent, "new"), target)
	require.NoError(t, err)
	require.Equal(t, map[string]string{"a": "2"}, tree(t, target))
	require.Equal(t, map[string]string{"a": "1"}, tree(t, old))
}
