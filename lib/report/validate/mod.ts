/** What is wrong with a study’s files, before anything is run. @module */
