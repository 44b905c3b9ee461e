/** The command that begins with a raw export. @module */
