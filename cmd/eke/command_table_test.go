package main

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// What is planned on the table is what the command line writes, to the byte, and
// Ctrl-C puts it away.
func TestTableWritesWhatPlanAndSheetsWrite(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	write(t, dir, "pile.csv", "name,fabric,length_cm,width_cm,count\nlinen,linen,20,24,2\n")
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, binary, "table", "flag.svg", "pile.csv", "--no-browser", "-o", "by-hand")
	cmd.Dir = dir
	stdout, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	line, err := bufio.NewReader(stdout).ReadString('\n')
	require.NoError(t, err)
	address := regexp.MustCompile(`http://127\.0\.0\.1:\d+/`).FindString(line)
	require.NotEmpty(t, address, line)
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	browser := &http.Client{Jar: jar}
	get := func(path string) string {
		answer, err := browser.Get(address + path)
		require.NoError(t, err)
		defer answer.Body.Close()
		body, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		require.Equal(t, http.StatusOK, answer.StatusCode, "%s: %s", path, body)
		return string(body)
	}
	_, token, _ := strings.Cut(strings.TrimSpace(line), "/?")
	get("?" + token)
	asked := url.Values{"seconds": {"20"}, "options": {"3"}, "allowance": {"10mm"}, "gap": {"3mm"}, "sort": {"seams"}}
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, address+"plan", strings.NewReader(asked.Encode()))
	require.NoError(t, err)
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", strings.TrimSuffix(address, "/"))
	answer, err := browser.Do(r)
	require.NoError(t, err)
	answer.Body.Close()
	require.Equal(t, http.StatusNoContent, answer.StatusCode)
	require.Eventually(t, func() bool { return !strings.Contains(get("state"), `"run"`) }, 30*time.Second, 50*time.Millisecond)
	pdf, layout := get("pages?option=1&what=parts&paper=a4"), get("pages?option=1&what=layout&paper=a3")
	found(t, dir, "plan", "flag.svg", "pile.csv", "-o", "by-words", "-q")
	require.Equal(t, tree(t, filepath.Join(dir, "by-words")), tree(t, filepath.Join(dir, "by-hand")))
	found(t, dir, "sheets", "by-words/option-1", "-q")
	found(t, dir, "sheets", "by-words/option-1", "--layout", "--paper", "a3", "-q")
	printed := tree(t, filepath.Join(dir, "by-words", "option-1"))
	require.True(t, printed["parts-a4.pdf"] == pdf, "the pages are those of eke sheets")
	require.True(t, printed["layout-a3.pdf"] == layout, "the layouts are those of eke sheets")
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	require.NoError(t, cmd.Wait(), "Ctrl-C puts it away")

	for _, bad := range [][]string{{"table", "--port", "-1"}, {"table", "-o", "../out"}, {"table", "-o", "flag.svg"}} {
		refused(t, dir, bad)
	}
}
