"""Break lines, trim outlines, tape marks, hinges and levels: where everything stands, all from the cut tree."""
