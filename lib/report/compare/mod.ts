/** What differs between two runs. @module */
