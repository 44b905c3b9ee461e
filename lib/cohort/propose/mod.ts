/** Which column of a file is which of the dictionary, proposed with reasons. @module */
