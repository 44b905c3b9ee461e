# Writes check cases as JSON: source it, call add(...) for each and write_cases(file) at the end.
options(digits = 17, stringsAsFactors = FALSE)
RNGversion("4.2.0")
VERSION <- paste("R", getRversion(), "stats")

## ---------- JSON ----------
num <- function(v) ifelse(is.na(v), "null", vapply(v, function(one) sprintf("%.17g", one), ""))
json <- function(x) {
  if (is.list(x)) {
    inner <- vapply(x, json, "")
    if (is.null(names(x))) return(paste0("[", paste(inner, collapse = ", "), "]"))
    return(paste0("{", paste0("\"", names(x), "\": ", inner, collapse = ", "), "}"))
  }
  if (is.null(x)) return("null")
  one <- if (is.character(x)) paste0("\"", gsub("\"", "\\\\\"", x), "\"") else num(as.numeric(x))
  if (length(x) == 1 && !inherits(x, "AsIs")) return(unname(one))
  paste0("[", paste(one, collapse = ", "), "]")
}
cases <- list()
add <- function(id, what, data, columns, method, options, expected, tolerance, citation, note = "")
  cases[[length(cases) + 1]] <<- list(id = id, what = what, data = data, columns = columns, method = method,
    options = options, expected = expected, tolerance = list(relative = tolerance, absolute = 1e-10),
    source = list(kind = "reference-library", citation = paste0(citation, "; ", VERSION)), note = note)
write_cases <- function(file) writeLines(paste0("[\n", paste(vapply(cases, json, ""), collapse = ",\n"), "\n]"), file)
