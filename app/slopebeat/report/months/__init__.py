"""Reports of weeks and months: what is said of many outings, on as many pages as it takes."""
