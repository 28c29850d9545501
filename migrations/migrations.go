// Package migrations embeds the schema, one file a step. A file that was
// shipped is never edited.
package migrations

import "embed"

// Files is every step, in order of its number.
//
//go:embed *.sql
var Files embed.FS
