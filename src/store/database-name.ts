/** The database's file in the data folder. */
export const databaseName = "wedgewright.db";
