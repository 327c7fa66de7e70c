package circular

// WatsonP is watsonP for tests outside.
var WatsonP = watsonP
