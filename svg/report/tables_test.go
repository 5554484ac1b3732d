package report

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestLabelled(t *testing.T) {
	const before = `<p title="a/b">a/b<svg><path d="M0,0"/></svg></p>`
	for page, want := range map[string]string{
		before: before,
		`<table><thead><tr><th>Edge &amp; <b>so</b></th><th>By</th></tr></thead><tbody><tr><th class="n">front/side</th><td></td></tr><tr><td>&lt;b&gt;</td></tr></tbody></table>` + before: `<table><thead><tr><th>Edge &amp; <b>so</b></th><th>By</th></tr></thead><tbody><tr><th class="n" data-label="Edge &amp; so">front/<wbr>side</th><td data-label="By"></td></tr><tr><td data-label="Edge &amp; so">&lt;b&gt;</td></tr></tbody></table>` + before,
		`<table><tr><td>of no head</td></tr></table>`: `<table><tr><td>of no head</td></tr></table>`,
	} {
		require.Equal(t, want, string(labelled([]byte(page))))
	}
	require.Equal(t, "front/<wbr>side, 21 1/16 in", breakable("front/side, 21 1/16 in"))
	require.Equal(t, "aaaaaaaaaaaaaaaaaaaaaaaa<wbr>aa bbbbbbbbbbbbbbbbbbbbbbbb", breakable("aaaaaaaaaaaaaaaaaaaaaaaaaa bbbbbbbbbbbbbbbbbbbbbbbb"))
	require.Equal(t, "aaaaaaaaaaaaaaaaaaaaaaaa\u0301<wbr>b", breakable("aaaaaaaaaaaaaaaaaaaaaaaa\u0301b"))
}
