// Package assets embeds what the browser loads. A clean checkout has one page
// that says so in plain words; a build puts the app beside it, in app.
package assets

import "embed"

// Files has index.html, and below app what pwa/build made.
//
//go:embed *
var Files embed.FS
