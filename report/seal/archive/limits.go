package archive

// What is read of a file. No report comes near these limits; a file beyond one is
// refused with its name. They bound time and memory, whatever the file says.
const (
	largestFile      = 1 << 30 // bytes of a file
	mostObjects      = 1 << 20 // objects of a file
	largestProfile   = 1 << 20 // bytes of a colour profile or a map to characters, unpacked
	largestGlyphMap  = 1 << 17 // bytes of a map from codes to glyphs: two for each code
	largestContent   = 1 << 25 // bytes of the content of one page, unpacked
	largestContents  = 1 << 28 // bytes of the contents of all pages, unpacked
	largestStructure = 1 << 27 // bytes of the logical structure, unpacked
	mostOperands     = 64      // of an operator on a page
	deepestState     = 64      // graphics states saved on a page
	mostPages        = 1 << 14
	mostFonts        = 64

	// LargestFiles is how many bytes the attached files may have together, unpacked.
	LargestFiles = 1 << 29
)
