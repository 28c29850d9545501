// Package assets embeds what the browser loads. A clean checkout has one page
// that says so in plain words; a build puts the app beside it.
package assets

import "embed"

// Files is what the server serves at its root.
//
//go:embed *.html
var Files embed.FS
