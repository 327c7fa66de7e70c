// Package recipetest holds the tests that every program of the cookbook passes.
package recipetest
