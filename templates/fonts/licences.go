package fonts

import _ "embed" // the licence texts

// PlexLicence is the licence of the typefaces that Face returns.
//
//go:embed IBMPlexSans-LICENSE.txt
var PlexLicence string

// DejaVuLicence is the licence of the typefaces that Fallback returns.
//
//go:embed DejaVu-LICENSE.txt
var DejaVuLicence string
